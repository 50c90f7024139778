//! Class schemes: bands of one quantity, for the woods they were made for.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Reference;
use super::source::parse;
use crate::error::{Error, ErrorKind, Result, near};
use crate::quantity::{Cited, Evidence};

/// Which class owns a value that lies exactly on a boundary.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Boundary {
    /// The more degraded one: the careful choice, and the default (a proposal of ours; the source leaves it open).
    Worse,
    /// The better preserved one.
    Better,
}

/// One class: a band of the scheme's quantity.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ClassBand {
    /// The label, such as `I`.
    pub label: String,
    /// Lower end; none for a band without one.
    pub from: Option<f64>,
    /// Upper end; none for a band without one.
    pub to: Option<f64>,
}

/// A class scheme.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Scheme {
    /// Short name, such as `oak-water-content`.
    #[serde(default)]
    pub id: String,
    /// What it is called in text.
    pub title: String,
    /// The quantity it divides into bands.
    pub quantity: String,
    /// The taxa it was made for.
    pub scope: Vec<String>,
    /// The bands, most degraded first, without gaps or overlaps.
    pub classes: Vec<ClassBand>,
    /// The work it comes from; for a scheme of the user, in the user's words.
    pub source: String,
    /// Place in that work.
    #[serde(default)]
    pub place: String,
    /// How well that is known.
    #[serde(default = "stated")]
    pub evidence: Evidence,
}

fn stated() -> Evidence {
    Evidence::Stated
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    scheme: Vec<Scheme>,
}

pub(super) fn read() -> std::result::Result<Vec<Scheme>, (&'static str, String)> {
    let file: File = parse("schemes.toml", include_str!("schemes.toml"))?;
    for scheme in &file.scheme {
        scheme.check().map_err(|text| ("schemes.toml", text))?;
    }
    Ok(file.scheme)
}

impl Scheme {
    /// What is wrong with the bands, in words.
    ///
    /// # Errors
    /// A sentence: fewer than two bands, a band without ends, a label twice, a gap or an overlap.
    pub fn check(&self) -> std::result::Result<(), String> {
        if self.classes.len() < 2 {
            return Err(format!("scheme {} needs at least two classes", self.id));
        }
        let ends = self.classes.iter().flat_map(|class| [class.from, class.to]).flatten();
        if ends.into_iter().any(|end| !end.is_finite()) {
            return Err(format!("a limit of scheme {} is not a finite number", self.id));
        }
        let mut bands: Vec<(f64, f64, &str)> = self
            .classes
            .iter()
            .map(|class| {
                (class.from.unwrap_or(f64::NEG_INFINITY), class.to.unwrap_or(f64::INFINITY), class.label.as_str())
            })
            .collect();
        bands.sort_by(|a, b| a.0.total_cmp(&b.0));
        let touching = |pair: &[(f64, f64, &str)]| pair[0].1.total_cmp(&pair[1].0).is_eq();
        let bounded_outside =
            bands.first().is_none_or(|band| band.0.is_finite()) || bands.last().is_none_or(|band| band.1.is_finite());
        if bounded_outside || !bands.windows(2).all(touching) || bands.iter().any(|band| band.0 >= band.1) {
            return Err(format!(
                "classes of scheme {} must cover every value once: each band ends where the next begins, the lowest \
                 has no from, the highest no to",
                self.id
            ));
        }
        let mut labels: Vec<&str> = bands.iter().map(|band| band.2).collect();
        labels.sort_unstable();
        labels.dedup();
        if labels.len() < bands.len() {
            return Err(format!("scheme {} has a label twice", self.id));
        }
        Ok(())
    }

    /// The limits in words: `I from 400; II 185 to 400; III to 185`.
    #[must_use]
    pub fn limits(&self) -> String {
        let band = |class: &ClassBand| match (class.from, class.to) {
            (Some(from), Some(to)) => format!("{} {from} to {to}", class.label),
            (Some(from), None) => format!("{} from {from}", class.label),
            (None, Some(to)) => format!("{} to {to}", class.label),
            (None, None) => class.label.clone(),
        };
        self.classes.iter().map(band).collect::<Vec<_>>().join("; ")
    }

    /// The class of a value, as its place in [`Scheme::classes`]; `None` for a value that is not finite.
    #[must_use]
    pub fn class_of(&self, value: f64, boundary: Boundary) -> Option<usize> {
        let mut inside = self.classes.iter().enumerate().filter(|(_, class)| {
            value.is_finite() && class.from.is_none_or(|from| value >= from) && class.to.is_none_or(|to| value <= to)
        });
        match boundary {
            Boundary::Worse => inside.next(),
            Boundary::Better => inside.next_back(),
        }
        .map(|(place, _)| place)
    }
}

impl Reference {
    /// The scheme with this short name.
    ///
    /// # Errors
    /// [`ErrorKind::Name`] with the schemes there are.
    pub fn scheme(&self, id: &str) -> Result<&Scheme> {
        self.schemes.iter().find(|scheme| scheme.id == id).ok_or_else(|| {
            let all = self.schemes.iter().map(|scheme| scheme.id.as_str());
            let mut allowed: Vec<String> = near(id, all.clone()).into_iter().map(str::to_owned).collect();
            allowed.extend(
                all.filter(|name| !allowed.iter().any(|near| near == name)).map(str::to_owned).collect::<Vec<_>>(),
            );
            Error::new(ErrorKind::Name { what: "class scheme", found: id.to_owned(), allowed })
        })
    }

    /// The origin of a scheme.
    #[must_use]
    pub fn scheme_source(&self, scheme: &Scheme) -> Cited {
        let limits = format!("class limits of {}: {}", scheme.quantity, scheme.limits());
        self.cited(limits, &scheme.source, &scheme.place, scheme.evidence)
    }
}
