//! Ways of support as they are asked for.

use crate::error::{Error, ErrorKind, Result};
use crate::lift::Support;
use crate::quantity::{Measured, Unit, shown_value};

/// What may be typed.
const WAYS: &str = "a way of support: tray, slings:best, slings:0.2071 (share of the length from each end), slings:1.2m, \
                    slings:0.2,0.25, equalised:4, fixed:0.1,0.5,0.9, ground:best or ground:0.2929";

/// A distance along a timber.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Along {
    /// Share of the length, 0 to 1.
    Share(f64),
    /// In m.
    Metres(f64),
}

impl Along {
    /// Reads `0.2`, `20 %`, `1.2 m`, `120 cm` or `1200 mm`; `None` for anything else.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let text = text.trim();
        let share = match text.strip_suffix('%') {
            Some(percent) => percent.trim().parse::<f64>().ok().map(|percent| percent / 100.0),
            None => text.parse::<f64>().ok(),
        };
        if let Some(share) = share {
            return (0.0..=1.0).contains(&share).then_some(Self::Share(share));
        }
        let found = Unit::parse("m").and_then(|unit| Measured::parse(text, unit)).ok()?;
        (found.u.is_none() && found.value >= 0.0).then_some(Self::Metres(found.value))
    }

    fn metres(self, length: f64) -> f64 {
        match self {
            Self::Share(share) => share * length,
            Self::Metres(metres) => metres,
        }
    }

    fn share(self) -> Option<f64> {
        match self {
            Self::Share(share) => Some(share),
            Self::Metres(_) => None,
        }
    }

    fn is_end(self) -> bool {
        matches!(self, Self::Share(at) | Self::Metres(at) if at <= 0.0)
    }

    fn word(self) -> String {
        match self {
            Self::Share(share) => share.to_string(),
            Self::Metres(metres) => format!("{metres}m"),
        }
    }

    fn title(self) -> String {
        match self {
            Self::Share(share) => format!("{} % of the length", shown_value(100.0 * share)),
            Self::Metres(metres) => format!("{} m", shown_value(metres)),
        }
    }
}

/// A way of support as it is asked for.
#[derive(Debug, Clone, PartialEq)]
pub enum SupportChoice {
    /// A tray or cradle along the full length.
    Tray,
    /// Two slings where they bend the timber least.
    BestSlings,
    /// Two slings: the first from the start, the second from the end.
    Slings(Along, Along),
    /// So many slings of equal tension.
    Equalised(usize),
    /// Three or more slings of fixed length, from the start.
    Fixed(Vec<Along>),
    /// The start on the ground, and a sling where it bends the timber least.
    BestFromGround,
    /// The start on the ground, and a sling so far from the end.
    FromGround(Along),
}

impl SupportChoice {
    /// Those that are looked at where none is named: tray, best slings, slings at the ends, four equalised, one end on the ground.
    #[must_use]
    pub fn usual() -> Vec<Self> {
        vec![
            Self::Tray,
            Self::BestSlings,
            Self::Slings(Along::Share(0.0), Along::Share(0.0)),
            Self::Equalised(4),
            Self::BestFromGround,
        ]
    }

    /// Reads `tray`, `slings:best`, `slings:0.2071`, `slings:0.2,0.25`, `equalised:4`, `fixed:0.1,0.5,0.9`, `ground:best` or
    /// `ground:0.2929`. A place is a share of the length, also as `20 %`, or a distance such as `1.2 m`.
    ///
    /// # Errors
    /// [`ErrorKind::Quantity`] with what is allowed.
    ///
    /// # Example
    /// ```
    /// use woodstate::study::{Along, SupportChoice};
    /// let (share, metres) = (Along::Share(0.2071), Along::Metres(1.2));
    /// assert_eq!(SupportChoice::parse("slings:0.2071")?, SupportChoice::Slings(share, share));
    /// assert_eq!(SupportChoice::parse("ground:1.2 m")?, SupportChoice::FromGround(metres));
    /// assert!(SupportChoice::parse("slings:0.6").is_err());
    /// # Ok::<(), woodstate::error::Error>(())
    /// ```
    pub fn parse(text: &str) -> Result<Self> {
        let wrong = |allowed: &str| {
            Error::new(ErrorKind::Quantity { found: text.trim().to_owned(), allowed: allowed.to_owned() })
        };
        let (word, places) = text.trim().split_once(':').unwrap_or((text.trim(), ""));
        let along: Option<Vec<Along>> = places.split(',').map(Along::parse).collect();
        // A share beside a distance would be a decimal comma; whether distances lie in order is seen where lengths are known.
        let is_share = |along: &Along| along.share().is_some();
        let along = along.filter(|all| all.iter().all(is_share) || !all.iter().any(is_share));
        let below = |sum: Option<f64>, most: f64| sum.is_none_or(|sum| sum < most);
        match (word.trim().to_lowercase().as_str(), places.trim(), along.as_deref()) {
            ("tray" | "cradle", "", _) => Ok(Self::Tray),
            ("slings", "best", _) => Ok(Self::BestSlings),
            ("slings", _, Some([each])) if below(each.share(), 0.5) => Ok(Self::Slings(*each, *each)),
            ("slings", _, Some([first, second]))
                if below(first.share().zip(second.share()).map(|(first, second)| first + second), 1.0) =>
            {
                Ok(Self::Slings(*first, *second))
            }
            ("slings", ..) => Err(wrong(
                "slings with a share of the length from each end, below 0.5, or a distance, with a decimal point, such as \
                 slings:0.2071, slings:1.2m or slings:0.2,0.25",
            )),
            ("equalised", count, _) => match count.parse::<usize>() {
                Ok(count) if (1..=50).contains(&count) => Ok(Self::Equalised(count)),
                _ => Err(wrong("equalised with a number of slings from 1 to 50, such as equalised:4")),
            },
            ("fixed", _, Some(along))
                if along.len() > 2 && along.windows(2).all(|two| two[0].metres(1.0) < two[1].metres(1.0)) =>
            {
                Ok(Self::Fixed(along.to_vec()))
            }
            ("fixed", ..) => {
                Err(wrong("fixed with three or more shares of the length, or distances from the start, growing"))
            }
            ("ground", "best", _) => Ok(Self::BestFromGround),
            ("ground", _, Some([along])) if below(along.share(), 1.0) => Ok(Self::FromGround(*along)),
            ("ground", ..) => Err(wrong(
                "ground with a share of the length or a distance from the lifted end, such as ground:0.2929 or ground:1.5m",
            )),
            _ => Err(wrong(WAYS)),
        }
    }

    /// The way in m for a timber; `best` are the best places of slings and of a sling with the start on the ground.
    pub(super) fn support(&self, length: f64, best: Option<[f64; 2]>, from_ground: Option<f64>) -> Option<Support> {
        Some(match self {
            Self::Tray => Support::Tray,
            Self::BestSlings => best.map(|[first, second]| Support::Slings { first, second })?,
            Self::Slings(first, second) => {
                Support::Slings { first: first.metres(length), second: length - second.metres(length) }
            }
            Self::Equalised(count) => Support::Equalised { count: *count },
            Self::Fixed(places) => Support::Fixed { places: places.iter().map(|along| along.metres(length)).collect() },
            Self::BestFromGround => Support::EndOnGround { sling: from_ground? },
            Self::FromGround(along) => Support::EndOnGround { sling: length - along.metres(length) },
        })
    }

    /// Its word, as it would be typed.
    #[must_use]
    pub fn word(&self) -> String {
        match self {
            Self::Tray => "tray".to_owned(),
            Self::BestSlings => "slings:best".to_owned(),
            Self::Slings(first, second) if first == second => format!("slings:{}", first.word()),
            Self::Slings(first, second) => format!("slings:{},{}", first.word(), second.word()),
            Self::Equalised(count) => format!("equalised:{count}"),
            Self::Fixed(places) => {
                format!("fixed:{}", places.iter().map(|along| along.word()).collect::<Vec<_>>().join(","))
            }
            Self::BestFromGround => "ground:best".to_owned(),
            Self::FromGround(along) => format!("ground:{}", along.word()),
        }
    }

    /// What it is, for a person.
    #[must_use]
    pub fn title(&self) -> String {
        match self {
            Self::Tray => "tray along the full length".to_owned(),
            Self::BestSlings => "two slings in the best places".to_owned(),
            Self::Slings(first, second) if first.is_end() && second.is_end() => "slings at the ends".to_owned(),
            Self::Slings(first, second) if first == second => format!("slings at {} from each end", first.title()),
            Self::Slings(first, second) => format!("slings at {} and {} from the ends", first.title(), second.title()),
            Self::Equalised(count) => format!("{count} equalised slings"),
            Self::Fixed(places) => format!("{} slings of fixed length", places.len()),
            Self::BestFromGround => "start on the ground, one sling".to_owned(),
            Self::FromGround(along) => format!("start on the ground, sling at {} from the end", along.title()),
        }
    }
}
