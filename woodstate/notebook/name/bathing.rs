//! `bath`: what to weigh, how many baths to wash in, how long, and whether a chamber can dry.

use starlark::environment::GlobalsBuilder;
use starlark::eval::Evaluator;
use starlark::starlark_module;
use starlark::values::Value;
use starlark::values::none::NoneOr;

use crate::error::{Error, ErrorKind, Result, near};
use crate::notebook::context::{Context, context};
use crate::notebook::fault::{failed, refuse};
use crate::notebook::value::{Outcome, OutcomeValue};
use crate::quantity::{Measured, Unit};
use crate::study::{
    BathPiece, BathPlan, BathWood, FreezeQuestion, SafetyForm, Study, assess, bath_freeze, bath_mix, bath_time,
    bath_wash, bath_water_density,
};

use super::assessing::Source;
use super::typed::typed;

#[starlark_module]
pub(super) fn names(builder: &mut GlobalsBuilder) {
    /// Baths: `"mix"`, what to weigh for a tank and what the wood will hold; `"wash"`, how many baths of clean water; `"time"`,
    /// how long until the wood has come near its bath; `"freeze"`, whether ice in the wood can dry in a chamber.
    ///
    /// Quantities are texts with their unit, with ± where it is known. What is not given is taken from `[bath]` of the study
    /// file. Without a table the wood is typed.
    ///
    /// ```text
    /// bath("mix", t, tank="2400 L", impregnant="PEG 2000", temperature="20 Cel", steps="10 % by mass, 20 % by mass")
    /// ```
    ///
    /// # Arguments
    /// * `what`: mix, wash, time or freeze
    /// * `table`: what `read` or `assess` gave: samples with their timbers
    /// * `tank`: volume of the tank up to the level of the bath, wood included, such as `"2400 L"`
    /// * `impregnant`: name of the impregnant, such as `"PEG 2000"`
    /// * `apparent_volume`: volume that 1 g of the impregnant takes up in water, such as `"0.837 ± 0.003 cm3/g"`
    /// * `impregnant_density`: density of the pure impregnant, such as `"1125 kg/m3"`
    /// * `temperature`: temperature of the bath, such as `"20 Cel"`
    /// * `steps`: the baths one after the other, such as `"10 % by mass for 60 d, 20 % by mass for 60 d"`
    /// * `bound_water`: water that the cell walls hold when all else is gone, such as `"30 %"` of oven-dry mass
    /// * `excluded_water`: water in the wood that the molecules do not reach, such as `"20 %"` of oven-dry mass
    /// * `salt_left`: share of the salts that may be left after washing, such as `"1 %"`
    /// * `agent`: a chelating agent, such as `"disodium EDTA"`
    /// * `hardness`: calcium and magnesium of the water for washing, such as `"2.5 mmol/L"`
    /// * `base`: a base, such as `"sodium hydrogen carbonate"`
    /// * `diffusivity`: diffusivity across the grain, such as `"1e-12 to 1e-10 m2/s"`
    /// * `diffusivity_along`: diffusivity along the grain, such as `"2e-12 to 8e-10 m2/s"`
    /// * `diffusivity_rim`: diffusivity of the soft rim across the grain, such as `"1e-11 to 1e-10 m2/s"`
    /// * `diffusivity_temperature`: temperature at which the diffusivities hold, such as `"20 Cel"`
    /// * `activation_energy`: activation energy of diffusion, such as `"36.5 ± 3 kJ/mol"`
    /// * `second_impregnant`: impregnant that follows in baths of its own, such as `"PEG 4000"`
    /// * `second_apparent_volume`: volume that 1 g of it takes up in water, such as `"0.837 ± 0.003 cm3/g"`
    /// * `second_steps`: its baths, after all of the first, such as `"30 % by mass for 200 d"`
    /// * `second_diffusivity`: its diffusivity across the grain, such as `"1e-13 to 1e-11 m2/s"`
    /// * `wood_volume`: volume of wood that is typed, such as `"80 L"`
    /// * `wood_water`: water in it, such as `"68.6 kg"`
    /// * `wood_dry_mass`: its oven-dry mass, such as `"17.1 kg"`
    /// * `diameter`: of a round piece that is typed, such as `"100 mm"`
    /// * `width`: of a rectangular piece, such as `"250 mm"`
    /// * `height`: its height, such as `"60 mm"`
    /// * `length`: its length, such as `"2 m"`; counts where `diffusivity_along` is given
    /// * `rim`: depth of its soft rim, such as `"15 mm"`; counts where `diffusivity_rim` is given
    /// * `wood_temperature`: temperature in the centre of the wood, such as `"-30 Cel"`
    /// * `chamber_pressure`: pressure in the chamber at the wood, such as `"10 Pa"`
    /// * `eutectic`: eutectic temperature of the solution in the wood, as measured or stated by whoever supplies the impregnant
    fn bath<'v>(
        #[starlark(require = pos)] what: &str,
        #[starlark(require = pos, default = NoneOr::None)] table: NoneOr<Value<'v>>,
        #[starlark(require = named)] tank: Option<Value<'v>>,
        #[starlark(require = named)] impregnant: Option<Value<'v>>,
        #[starlark(require = named)] apparent_volume: Option<Value<'v>>,
        #[starlark(require = named)] impregnant_density: Option<Value<'v>>,
        #[starlark(require = named)] temperature: Option<Value<'v>>,
        #[starlark(require = named)] steps: Option<Value<'v>>,
        #[starlark(require = named)] bound_water: Option<Value<'v>>,
        #[starlark(require = named)] excluded_water: Option<Value<'v>>,
        #[starlark(require = named)] salt_left: Option<Value<'v>>,
        #[starlark(require = named)] agent: Option<Value<'v>>,
        #[starlark(require = named)] hardness: Option<Value<'v>>,
        #[starlark(require = named)] base: Option<Value<'v>>,
        #[starlark(require = named)] diffusivity: Option<Value<'v>>,
        #[starlark(require = named)] diffusivity_along: Option<Value<'v>>,
        #[starlark(require = named)] diffusivity_rim: Option<Value<'v>>,
        #[starlark(require = named)] diffusivity_temperature: Option<Value<'v>>,
        #[starlark(require = named)] activation_energy: Option<Value<'v>>,
        #[starlark(require = named)] second_impregnant: Option<Value<'v>>,
        #[starlark(require = named)] second_apparent_volume: Option<Value<'v>>,
        #[starlark(require = named)] second_steps: Option<Value<'v>>,
        #[starlark(require = named)] second_diffusivity: Option<Value<'v>>,
        #[starlark(require = named)] wood_volume: Option<Value<'v>>,
        #[starlark(require = named)] wood_water: Option<Value<'v>>,
        #[starlark(require = named)] wood_dry_mass: Option<Value<'v>>,
        #[starlark(require = named)] diameter: Option<Value<'v>>,
        #[starlark(require = named)] width: Option<Value<'v>>,
        #[starlark(require = named)] height: Option<Value<'v>>,
        #[starlark(require = named)] length: Option<Value<'v>>,
        #[starlark(require = named)] rim: Option<Value<'v>>,
        #[starlark(require = named)] wood_temperature: Option<Value<'v>>,
        #[starlark(require = named)] chamber_pressure: Option<Value<'v>>,
        #[starlark(require = named)] eutectic: Option<Value<'v>>,
        eval: &mut Evaluator<'v, '_, '_>,
    ) -> starlark::Result<OutcomeValue> {
        let given = typed([
            ("tank", tank),
            ("impregnant", impregnant),
            ("apparent_volume", apparent_volume),
            ("impregnant_density", impregnant_density),
            ("temperature", temperature),
            ("steps", steps),
            ("bound_water", bound_water),
            ("excluded_water", excluded_water),
            ("salt_left", salt_left),
            ("agent", agent),
            ("hardness", hardness),
            ("base", base),
            ("diffusivity", diffusivity),
            ("diffusivity_along", diffusivity_along),
            ("diffusivity_rim", diffusivity_rim),
            ("diffusivity_temperature", diffusivity_temperature),
            ("activation_energy", activation_energy),
            ("second_impregnant", second_impregnant),
            ("second_apparent_volume", second_apparent_volume),
            ("second_steps", second_steps),
            ("second_diffusivity", second_diffusivity),
            ("wood_volume", wood_volume),
            ("wood_water", wood_water),
            ("wood_dry_mass", wood_dry_mass),
            ("diameter", diameter),
            ("width", width),
            ("height", height),
            ("length", length),
            ("rim", rim),
            ("wood_temperature", wood_temperature),
            ("chamber_pressure", chamber_pressure),
            ("eutectic", eutectic),
        ])?;
        let work = Work::of_word(what)?;
        let context = context(eval)?;
        let (study, source) = match table.into_option() {
            Some(table) => {
                let source = Source::of(table, "bath")?;
                context.compare(source.batch);
                (context.settled(Study::clone(source.study)), Some(source))
            }
            None => (context.settled(Study::unstated().map_err(failed)?), None),
        };
        work.takes(&given, source.is_some())?;
        Asked { study, source, given }.outcome(work, context).map(OutcomeValue::new).map_err(failed)
    }
}

/// What is asked about a bath.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Work {
    Mix,
    Wash,
    Time,
    Freeze,
}

const WOOD: [&str; 3] = ["wood_volume", "wood_water", "wood_dry_mass"];
const PIECE: [&str; 5] = ["diameter", "width", "height", "length", "rim"];
const MIX: [&str; 8] = [
    "tank",
    "impregnant",
    "apparent_volume",
    "impregnant_density",
    "temperature",
    "steps",
    "bound_water",
    "excluded_water",
];
const WASH: [&str; 6] = ["tank", "temperature", "salt_left", "agent", "hardness", "base"];
const TIME: [&str; 14] = [
    "diffusivity",
    "diffusivity_along",
    "diffusivity_rim",
    "diffusivity_temperature",
    "activation_energy",
    "temperature",
    "tank",
    "impregnant",
    "apparent_volume",
    "steps",
    "second_impregnant",
    "second_apparent_volume",
    "second_steps",
    "second_diffusivity",
];
const FREEZE: [&str; 3] = ["wood_temperature", "chamber_pressure", "eutectic"];

impl Work {
    fn of_word(word: &str) -> starlark::Result<Self> {
        match word {
            "mix" => Ok(Self::Mix),
            "wash" => Ok(Self::Wash),
            "time" => Ok(Self::Time),
            "freeze" => Ok(Self::Freeze),
            other => {
                let words = ["mix", "wash", "time", "freeze"];
                let meant = near(other, words).first().copied().unwrap_or("mix");
                let text = format!("bath first says what is asked: {}; this is \"{other}\"", words.join(", "));
                Err(refuse(text, format!("bath(\"{meant}\", ...)")))
            }
        }
    }

    fn word(self) -> &'static str {
        match self {
            Self::Mix => "mix",
            Self::Wash => "wash",
            Self::Time => "time",
            Self::Freeze => "freeze",
        }
    }

    /// Refuses what plays no part, so that nobody believes it did.
    fn takes(self, given: &[(&str, String)], has_table: bool) -> starlark::Result<()> {
        let (keys, typed): (&[&str], &[&str]) = match self {
            Self::Mix => (&MIX, &WOOD),
            Self::Wash => (&WASH, &WOOD),
            Self::Time => (&TIME, &PIECE),
            Self::Freeze => (&FREEZE, &[]),
        };
        let word = self.word();
        if has_table && self == Self::Freeze {
            return Err(refuse(
                "bath(\"freeze\") takes no table",
                "bath(\"freeze\", wood_temperature=\"-30 Cel\", chamber_pressure=\"10 Pa\")",
            ));
        }
        let is_typed = |name: &str| typed.contains(&name);
        // How much a bath loses to a piece is known of a batch alone.
        let is_of_batch = |name: &str| self == Self::Time && name == "tank" && !has_table;
        let is_free = |name: &str| (keys.contains(&name) && !is_of_batch(name)) || (is_typed(name) && !has_table);
        match given.iter().find(|(name, _)| !is_free(name)) {
            None => Ok(()),
            Some((name, _)) if is_of_batch(name) => {
                Err(refuse("the tank counts where a table says which wood lies in it", "bath(\"time\", t, tank=...)"))
            }
            Some((name, _)) if is_typed(name) => {
                let cure = format!("bath(\"{word}\", t, ...) or bath(\"{word}\", {name}=...)");
                Err(refuse(format!("{name} is of wood that is typed, and a table is named too"), cure))
            }
            Some((name, _)) => {
                let all: Vec<&str> = if has_table { keys.to_vec() } else { [keys, typed].concat() };
                Err(refuse(format!("bath(\"{word}\") has no use for {name}"), format!("it takes {}", all.join(", "))))
            }
        }
    }
}

/// What was given.
struct Asked<'a> {
    study: Study,
    source: Option<Source<'a>>,
    given: Vec<(&'static str, String)>,
}

impl Asked<'_> {
    fn outcome(&self, work: Work, context: &Context) -> Result<Outcome> {
        let plan = self.plan()?;
        match work {
            Work::Mix => Ok(Outcome::Mix(bath_mix(&self.wood(&plan, context)?, &plan)?)),
            Work::Wash => Ok(Outcome::Wash(bath_wash(&self.wood(&plan, context)?, &plan)?)),
            Work::Time => {
                let wood = self.source.is_some().then(|| self.wood(&plan, context)).transpose()?;
                let pieces = match &wood {
                    Some(wood) => wood.timbers.iter().map(BathPiece::of).collect(),
                    None => vec![self.piece()?],
                };
                let threads = self.study.read.n_threads();
                bath_time(&pieces, wood.as_ref(), &plan, threads, &context.watch()).map(Outcome::Time)
            }
            Work::Freeze => {
                let question = FreezeQuestion {
                    wood_temperature: self.needed("wood_temperature", "Cel", "-30 Cel")?,
                    chamber_pressure: self.needed("chamber_pressure", "Pa", "10 Pa")?,
                    eutectic: self.exact("eutectic", "Cel")?,
                    safety: SafetyForm::default(),
                };
                bath_freeze(&question).map(Outcome::Freeze)
            }
        }
    }

    /// The plan of the study, and what was given on top.
    fn plan(&self) -> Result<BathPlan> {
        let mut plan = self.study.bath.clone();
        let keys = BathPlan::KEYS.map(|(key, _)| key);
        for (key, text) in self.given.iter().filter(|(key, _)| keys.contains(key)) {
            plan.set(key, text).map_err(|error| error.hint_if_none(format!("this is about {key}=")))?;
        }
        Ok(plan)
    }

    /// The wood of the table, or as it was typed.
    fn wood(&self, plan: &BathPlan, context: &Context) -> Result<BathWood> {
        // Water of another temperature differs by less than a hundredth; what needs the temperature asks for it.
        let density = bath_water_density(plan.temperature.unwrap_or(ROOM))?;
        if let Some(source) = &self.source {
            let assessment = assess(&self.study, source.batch.clone(), &context.watch())?;
            return BathWood::of(&self.study, &assessment, density, &context.watch());
        }
        let (Some(volume), Some(water)) = (self.exact("wood_volume", "L")?, self.exact("wood_water", "kg")?) else {
            let cure = "name a table with samples and timbers, or give --wood-volume and --wood-water".to_owned();
            return Err(Error::missing("how much wood lies in the tank".to_owned(), cure));
        };
        BathWood::stated(volume, water, self.exact("wood_dry_mass", "kg")?, density)
    }

    /// A piece that was typed.
    fn piece(&self) -> Result<BathPiece> {
        let size = |name| self.exact(name, "mm");
        BathPiece::stated(size("diameter")?, [size("width")?, size("height")?], size("length")?, size("rim")?)
    }

    /// A quantity without uncertainty.
    fn exact(&self, name: &str, unit: &str) -> Result<Option<f64>> {
        let text = self.given.iter().find(|(given, _)| *given == name).map(|(_, text)| text);
        let value = |text: &String| -> Result<f64> { Ok(Measured::parse(text, Unit::parse(unit)?)?.value) };
        text.map(value).transpose().map_err(|error| match error.kind() {
            ErrorKind::Quantity { .. } | ErrorKind::Unit { .. } => error.hint_if_none(format!("this is about {name}=")),
            _ => error,
        })
    }

    fn needed(&self, name: &str, unit: &str, example: &str) -> Result<f64> {
        let cure = || format!("such as {name}=\"{example}\"");
        self.exact(name, unit)?.ok_or_else(|| Error::missing(name.replace('_', " "), cure()))
    }
}

/// Temperature of a room, °C.
const ROOM: f64 = 20.0;
