//! Propagated uncertainty against a package that differentiates formulas (`uncertainties`), against random draws of
//! another generator (`NumPy`), and against central differences.

mod draw;
mod formula;
mod piece;
mod slope;
mod together;

use serde_json::Value;
use woodstate::quantity::Jet;

/// Places for derivatives; the largest frozen case has 13 inputs.
const PLACES: usize = 16;

/// A frozen case: its inputs in their order, its results.
struct Case(Value);

impl Case {
    /// Source: tests/it/expected/outside/state.json, uncertainties 3.2.3, Python 3.11.7.
    fn named(name: &str) -> Self {
        let frozen: Value = serde_json::from_str(include_str!("expected/outside/state.json")).unwrap();
        let cases = frozen["cases"].as_array().unwrap();
        Self(cases.iter().find(|case| case["name"] == name).unwrap_or_else(|| panic!("no case {name}")).clone())
    }

    /// Name, value, standard uncertainty of each input.
    fn inputs(&self) -> Vec<(&str, f64, f64)> {
        let inputs = self.0["inputs"].as_object().unwrap();
        inputs
            .iter()
            .map(|(name, pair)| (name.as_str(), pair[0].as_f64().unwrap(), pair[1].as_f64().unwrap()))
            .collect()
    }

    /// The input with this name as a number that carries its derivatives.
    fn jet(&self, name: &str) -> Jet<PLACES> {
        let inputs = self.inputs();
        let place = inputs.iter().position(|input| input.0 == name).unwrap_or_else(|| panic!("no input {name}"));
        Jet::cause(inputs[place].1, place)
    }

    /// Standard uncertainties by place.
    fn u(&self) -> [f64; PLACES] {
        let inputs = self.inputs();
        std::array::from_fn(|place| inputs.get(place).map_or(0.0, |input| input.2))
    }

    /// The results are those of the package: values, standard uncertainties, and every covariance and correlation it
    /// has between them.
    #[track_caller]
    fn check(&self, results: &[(&str, Jet<PLACES>)]) {
        let u = self.u();
        for (name, jet) in results {
            let expected = &self.0["outputs"][*name];
            agrees(name, jet.value, expected[0].as_f64().unwrap());
            agrees(name, jet.variance(&u).sqrt(), expected[1].as_f64().unwrap());
        }
        for (pair, expected) in self.0["covariances"].as_object().into_iter().flatten() {
            let both = pair.split_once(',').unwrap();
            let of = |wanted: &str| results.iter().find(|(name, _)| *name == wanted).map(|(_, jet)| jet);
            let (Some(a), Some(b)) = (of(both.0), of(both.1)) else { panic!("{pair} was not computed") };
            let covariance = a.covariance(b, &u);
            agrees(pair, covariance, expected.as_f64().unwrap());
            let correlation = covariance / (a.variance(&u) * b.variance(&u)).sqrt();
            agrees(pair, correlation, self.0["correlations"][pair].as_f64().unwrap());
        }
    }
}

/// Agrees to nine digits.
#[track_caller]
fn agrees(what: &str, actual: f64, expected: f64) {
    assert!((actual - expected).abs() <= 1e-9 * expected.abs(), "{what}: {actual} instead of {expected}");
}
