//! `woodstate lift`.

use std::collections::BTreeMap;
use std::path::PathBuf;

use clap::Args;
use woodstate::error::Result;
use woodstate::report::{choice_sentence, findings_view, lifts_ending, lifts_file, lifts_plain, lifts_view};
use woodstate::study::{LiftQuestion, Lifts, Study, SupportChoice, TypedTimber, lift, lift_typed};
use woodstate::table::{Overwrite, TextStyle, write_file};

use crate::args::{CommonArgs, DrawArgs, InputArgs, ReadingArgs};
use crate::assess::said;
use crate::output::{Ending, Output};
use crate::{Outcome, input, progress};

/// Arguments of `lift`.
#[derive(Debug, Args)]
pub struct LiftArgs {
    /// Workbook, text file, folder with samples and timbers, or -; without it the sizes of one timber are typed
    pub file: Option<PathBuf>,
    /// Study file; without it, woodstate.toml beside the data
    #[arg(long, value_name = "FILE")]
    pub study: Option<PathBuf>,
    /// How to read it.
    #[command(flatten)]
    pub reading: ReadingArgs,
    /// Most cells of a table; usual are 1 000 000 of a sheet and 100 000 000 of a text
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u64).range(1..))]
    pub max_cells: Option<u64>,
    /// One timber that is typed.
    #[command(flatten)]
    pub timber: TimberArgs,
    /// How it is supported and handled.
    #[command(flatten)]
    pub handling: HandlingArgs,
    /// Strengths that are stated.
    #[command(flatten)]
    pub strength: StrengthArgs,
    /// Which pieces of a file: a condition on columns and results, such as "timber == 'B01'"
    #[arg(long = "where", value_name = "CONDITION")]
    pub condition: Option<String>,
    /// Random draws a timber; 10000 for a typed timber and 2000 for each of a file, 0 for none
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(0..=1_000_000))]
    pub draws: Option<u32>,
    /// Write a file: all as .json, one row a timber and way of support as .csv or .tsv
    #[arg(long, short, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// Decimal mark in a .csv or .tsv that is written
    #[arg(long, value_name = "MARK", value_parser = [".", ","], default_value = ".")]
    pub out_decimal: String,
    /// Replace a file that woodstate did not write
    #[arg(long)]
    pub force: bool,
    /// What decides uncertainties.
    #[command(flatten)]
    pub draw: DrawArgs,
    /// Exit with 4 if any caution was raised; a lift always has some
    #[arg(long)]
    pub strict: bool,
    /// How to show it.
    #[command(flatten)]
    pub common: CommonArgs,
}

/// One timber that is typed, each size with its unit, and with ± where it is known.
#[derive(Debug, Args)]
#[command(next_help_heading = "One timber")]
pub struct TimberArgs {
    /// Length, such as 6m or "6 ± 0.05 m"
    #[arg(long, value_name = "LENGTH")]
    pub length: Option<String>,
    /// Width across, such as 250mm
    #[arg(long, value_name = "LENGTH")]
    pub width: Option<String>,
    /// Height, as it hangs; a plank lying flat is wider than high
    #[arg(long, value_name = "LENGTH")]
    pub height: Option<String>,
    /// Diameter of a round timber
    #[arg(long, value_name = "LENGTH")]
    pub diameter: Option<String>,
    /// Diameter of a hollow right through
    #[arg(long, value_name = "LENGTH")]
    pub bore: Option<String>,
    /// Width at the other end, where the timber grows thinner
    #[arg(long, value_name = "LENGTH", requires = "width")]
    pub end_width: Option<String>,
    /// Height at the other end
    #[arg(long, value_name = "LENGTH", requires = "height")]
    pub end_height: Option<String>,
    /// Diameter at the other end
    #[arg(long, value_name = "LENGTH", requires = "diameter")]
    pub end_diameter: Option<String>,
    /// Basic density: oven-dry mass over waterlogged volume, such as 560kg/m3 or "560 ± 30 kg/m3"
    #[arg(long, value_name = "DENSITY")]
    pub basic_density: Option<String>,
    /// Depth of the soft rim
    #[arg(long, value_name = "LENGTH", requires = "rim_density")]
    pub rim: Option<String>,
    /// Basic density of the soft rim; --basic-density is then that of the core
    #[arg(long, value_name = "DENSITY", requires = "rim")]
    pub rim_density: Option<String>,
    /// Wood, such as oak or "Pinus sylvestris": for handbook strengths
    #[arg(long, value_name = "WOOD")]
    pub taxon: Option<String>,
}

/// How a timber is supported and handled; what is required is yours to state.
#[derive(Debug, Args)]
#[command(next_help_heading = "Support and handling")]
pub struct HandlingArgs {
    /// tray, slings:best, slings:0.2071 (share of the length from each end), slings:0.2,0.25, equalised:4,
    /// fixed:0.1,0.5,0.9, ground:best, ground:0.2929; may be repeated
    #[arg(long, value_name = "WAY")]
    pub support: Vec<String>,
    /// Least margin of strength over stress that you require; none is proposed, since none has been published
    #[arg(long, value_name = "NUMBER")]
    pub required_margin: Option<f64>,
    /// Probability with which the margin may be missed, such as 1%
    #[arg(long, value_name = "SHARE", requires = "required_margin")]
    pub accepted_probability: Option<String>,
    /// Water in and around the timber: fresh, sea, a salinity such as "12 g/kg", a density such as "1010 kg/m3"
    #[arg(long, value_name = "WATER")]
    pub water: Option<String>,
    /// Temperature of the water, such as "8 ± 2 Cel"
    #[arg(long, value_name = "TEMPERATURE")]
    pub temperature: Option<String>,
    /// Share of the pores that water fills, such as "80 ± 10 %"; without it all
    #[arg(long, value_name = "SHARE")]
    pub saturation: Option<String>,
    /// Mass of concretion, metal or sediment on each timber, such as "40 ± 10 kg"
    #[arg(long, value_name = "MASS", requires = "attached_density")]
    pub attached: Option<String>,
    /// Density of that, such as 2600kg/m3
    #[arg(long, value_name = "DENSITY", requires = "attached")]
    pub attached_density: Option<String>,
    /// A hollow loses its water when it leaves the water
    #[arg(long)]
    pub hollow_drains: bool,
    /// Width of each sling along the timber, such as 100mm
    #[arg(long, value_name = "LENGTH")]
    pub sling_width: Option<String>,
    /// Angle between slings and level in degrees; 90 hangs upright, as from a spreader
    #[arg(long, value_name = "DEGREES")]
    pub sling_angle: Option<f64>,
    /// Dynamic factor for jerks and swell, such as "1.3 ± 0.1"
    #[arg(long, value_name = "NUMBER")]
    pub dynamic: Option<String>,
    /// Standard uncertainty of the place of a sling, such as 50mm
    #[arg(long, value_name = "LENGTH")]
    pub placing: Option<String>,
    /// What cracks, borers and holes take from every strength, such as 30%
    #[arg(long, value_name = "SHARE")]
    pub reduction: Option<String>,
    /// Standard uncertainty of every size that has none of its own, such as 2%
    #[arg(long, value_name = "SHARE")]
    pub size_uncertainty: Option<String>,
    /// Lower bending strength for the size of the timber (dry Douglas-fir, handbook)
    #[arg(long)]
    pub size_effect: bool,
    /// Lower strength for a load that lasts, such as 2h (dry wood, curve of Madison)
    #[arg(long, value_name = "TIME")]
    pub time_under_load: Option<String>,
}

/// Strengths that are stated for every timber, before damage, size and time.
#[derive(Debug, Args)]
#[command(next_help_heading = "Strengths, where you know them")]
pub struct StrengthArgs {
    /// Bending strength (modulus of rupture), such as "12 ± 3 MPa"
    #[arg(long, value_name = "STRESS")]
    pub bending_strength: Option<String>,
    /// Compression strength along the grain
    #[arg(long, value_name = "STRESS")]
    pub compression_parallel: Option<String>,
    /// Shear strength along the grain
    #[arg(long, value_name = "STRESS")]
    pub shear_parallel: Option<String>,
    /// Compression across the grain at the proportional limit, of the surface
    #[arg(long, value_name = "STRESS")]
    pub compression_perpendicular: Option<String>,
    /// Modulus of elasticity, for the sag
    #[arg(long, value_name = "STRESS")]
    pub bending_modulus: Option<String>,
}

impl TimberArgs {
    fn is_typed(&self) -> bool {
        let all = [
            &self.length,
            &self.width,
            &self.height,
            &self.diameter,
            &self.bore,
            &self.basic_density,
            &self.rim,
            &self.taxon,
        ];
        all.into_iter().any(Option::is_some)
    }

    fn timber(&self) -> Result<TypedTimber> {
        TypedTimber::parse(&typed([
            ("length", &self.length),
            ("width", &self.width),
            ("height", &self.height),
            ("diameter", &self.diameter),
            ("bore", &self.bore),
            ("end_width", &self.end_width),
            ("end_height", &self.end_height),
            ("end_diameter", &self.end_diameter),
            ("basic_density", &self.basic_density),
            ("rim", &self.rim),
            ("rim_density", &self.rim_density),
            ("taxon", &self.taxon),
        ]))
    }
}

/// What was typed of it.
fn typed<'a, const N: usize>(all: [(&'static str, &'a Option<String>); N]) -> BTreeMap<&'static str, &'a str> {
    all.into_iter().filter_map(|(key, text)| Some((key, text.as_deref()?))).collect()
}

impl LiftArgs {
    fn question(&self) -> Result<LiftQuestion> {
        let handling = &self.handling;
        let supports = match handling.support.as_slice() {
            [] => SupportChoice::usual(),
            ways => ways.iter().map(|way| SupportChoice::parse(way)).collect::<Result<_>>()?,
        };
        let draws = self.draws.unwrap_or(if self.file.is_some() { 2000 } else { 10_000 });
        let mut question = LiftQuestion {
            supports,
            sling_angle: handling.sling_angle,
            hollow_drains: handling.hollow_drains,
            size_effect: handling.size_effect,
            draws: usize::try_from(draws).unwrap_or(usize::MAX),
            condition: self.condition.clone(),
            ..LiftQuestion::usual()
        };
        question.required.margin = handling.required_margin;
        let said = typed([
            ("bending_strength", &self.strength.bending_strength),
            ("compression_parallel", &self.strength.compression_parallel),
            ("shear_parallel", &self.strength.shear_parallel),
            ("compression_perpendicular", &self.strength.compression_perpendicular),
            ("bending_modulus", &self.strength.bending_modulus),
            ("accepted_probability", &handling.accepted_probability),
            ("sling_width", &handling.sling_width),
            ("dynamic", &handling.dynamic),
            ("placing", &handling.placing),
            ("water", &handling.water),
            ("temperature", &handling.temperature),
            ("saturation", &handling.saturation),
            ("reduction", &handling.reduction),
            ("size_uncertainty", &handling.size_uncertainty),
            ("time_under_load", &handling.time_under_load),
        ]);
        said.into_iter().try_for_each(|(key, text)| question.set(key, text))?;
        if let Some((mass, density)) = handling.attached.as_ref().zip(handling.attached_density.as_ref()) {
            question.set_attached(mass, density)?;
        }
        Ok(question)
    }

    /// What was typed and cannot be done together.
    pub fn conflict(&self) -> Option<&'static str> {
        match (&self.file, self.timber.is_typed()) {
            (Some(_), true) => Some("a file and the sizes of one timber; give one of the two"),
            (None, false) => Some(
                "a file, or the sizes of one timber: --length, --width and --height or --diameter, --basic-density",
            ),
            (None, true) if self.condition.is_some() => Some("--where chooses pieces of a file"),
            (None, true) if self.timber.length.is_none() => Some("--length is missing, such as --length 6m"),
            (None, true) if self.timber.basic_density.is_none() => {
                Some("--basic-density is missing, such as --basic-density 560kg/m3")
            }
            _ => None,
        }
    }

    fn look(&self, output: &Output) -> Result<Lifts> {
        let question = self.question()?;
        let Some(file) = &self.file else {
            let mut study = match &self.study {
                Some(path) => Study::open(path)?,
                None => Study::unstated()?,
            };
            study = input::drawn(study, &self.draw);
            let timber = self.timber.timber()?;
            return progress::watched(output.is_quiet, |watch| lift_typed(&study, &timber, &question, watch));
        };
        let typed = InputArgs {
            file: file.clone(),
            study: self.study.clone(),
            reading: self.reading.clone(),
            max_cells: self.max_cells,
        };
        let study = input::drawn(input::study(&typed)?, &self.draw);
        progress::watched(output.is_quiet, |watch| {
            let batch = input::batch(&typed, &study, watch)?;
            lift(&study, batch, &question, watch)
        })
    }
}

/// Reads, looks at each timber, shows, writes.
pub fn run(arguments: &LiftArgs, output: &Output) -> Outcome {
    let out = match arguments.out.as_deref() {
        Some(path) => Some((path, lifts_ending(path)?)),
        None => None,
    };
    let outcome = arguments.look(output)?;
    output.note(&findings_view(&said(&outcome.findings)));
    if arguments.common.plain {
        outcome.choices.iter().for_each(|choice| output.line(&choice_sentence(choice)));
    }
    if let Some((path, ending)) = out {
        let tables = outcome.source.iter().map(|source| source.file.as_str());
        input::spare(tables.chain(outcome.settings.study_file.as_deref()), path)?;
        let style = TextStyle { decimal: input::mark(&arguments.out_decimal), delimiter: ',' };
        let overwrite = if arguments.force { Overwrite::Force } else { Overwrite::IfOurs };
        write_file(path, &lifts_file(&outcome, ending, style)?, overwrite)?;
        output.line(&format!("Wrote {}.", path.display()));
    }
    output.result(&outcome, || lifts_view(&outcome), || lifts_plain(&outcome))?;
    Ok(if !outcome.without.is_empty() {
        Ending::NotAssessed
    } else if arguments.strict && !outcome.cautions.is_empty() {
        Ending::Cautions
    } else {
        Ending::Done
    })
}
