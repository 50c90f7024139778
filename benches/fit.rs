//! Times refits of a curve; `benches/run` compares them with a peer. `cargo bench --bench fit -- time MODEL FILE THREADS ROUNDS
//! REFITS` prints the seconds of each round, `-- check MODEL FILE REFITS` the readings of each refit and its parameters; without
//! arguments it does nothing but say so. FILE: x,y a line.
#![allow(clippy::print_stdout, reason = "OK because a bench shows its results")]

use std::hint::black_box;
use std::path::Path;
use std::time::Instant;

use woodstate::error::{Error, Result};
use woodstate::numeric::{
    Bootstrap, Fit, FitOptions, Model, Noise, Plan, Points, Resampling, Starts, Stream, Watch, bootstrap_fit, fit, mean,
};

const SEED: u64 = 1;

fn main() -> Result<()> {
    // Cargo adds --bench.
    let words: Vec<String> = std::env::args().skip(1).filter(|word| !word.starts_with("--")).collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let number = |word: &str| word.parse().unwrap_or(1);
    match words.as_slice() {
        ["time", model, file, threads, rounds, refits] => {
            let data = Data::read(model, file)?;
            data.time(number(threads), number(rounds), number(refits))
        }
        ["check", model, file, refits] => Data::read(model, file)?.check(number(refits)),
        _ => {
            println!(
                "usage: fit time MODEL FILE THREADS ROUNDS REFITS | check MODEL FILE REFITS; benches/run does it for you"
            );
            Ok(())
        }
    }
}

/// a (x/100)^b: the row holds ln(x/100).
fn power(row: &[f64], b: &[f64], slope: &mut [f64]) -> f64 {
    let share = (b[1] * row[0]).exp();
    let value = b[0] * share;
    slope[0] = share;
    slope[1] = value * row[0];
    value
}

/// d + (a - d) / (1 + exp((x - m)/s)).
fn logistic(row: &[f64], b: &[f64], slope: &mut [f64]) -> f64 {
    let [a, d, m, s] = [b[0], b[1], b[2], b[3]];
    let z = (row[0] - m) / s;
    let share = 1.0 / (1.0 + z.exp());
    let steep = (a - d) * share * (1.0 - share) / s;
    slope[0] = share;
    slope[1] = 1.0 - share;
    slope[2] = steep;
    slope[3] = steep * z;
    d + (a - d) * share
}

type Curve = fn(&[f64], &[f64], &mut [f64]) -> f64;

struct Data {
    is_power: bool,
    rows: Vec<f64>,
    y: Vec<f64>,
    start: Vec<f64>,
}

impl Data {
    fn read(model: &str, file: &str) -> Result<Self> {
        let text = std::fs::read_to_string(file).map_err(|error| Error::file(Path::new(file), "read", error))?;
        let (x, y): (Vec<f64>, Vec<f64>) = text
            .lines()
            .filter_map(|line| {
                let (x, y) = line.split_once(',')?;
                Some((x.parse::<f64>().ok()?, y.parse::<f64>().ok()?))
            })
            .unzip();
        let is_power = model == "power";
        let rows = if is_power { x.iter().map(|x| (x / 100.0).ln()).collect() } else { x };
        let start = if is_power { vec![50.0, 1.0] } else { vec![5.0, 60.0, 50.0, -10.0] };
        Ok(Self { is_power, rows, y, start })
    }

    fn points(&self) -> Result<Points<'_>> {
        Points::new(&self.rows, &self.y, Noise::FromScatter)
    }

    /// Each model by its own type: the solver is compiled for it, as for a user who writes one.
    fn fitted(&self) -> Result<Fit> {
        let (points, starts, options) = (self.points()?, Starts::at(&self.start), FitOptions::plain());
        if self.is_power {
            fit(&power, &points, &starts, &options, &Watch::silent())
        } else {
            fit(&logistic, &points, &starts, &options, &Watch::silent())
        }
    }

    fn refits(&self, fit: &Fit, threads: usize, refits: usize) -> Result<Bootstrap> {
        let plan = Plan { replicates: refits, seed: SEED, threads };
        if self.is_power { self.drawn(&power, fit, plan) } else { self.drawn(&logistic, fit, plan) }
    }

    fn drawn<M: Model>(&self, model: &M, fit: &Fit, plan: Plan) -> Result<Bootstrap> {
        let options = FitOptions::plain();
        bootstrap_fit(model, &self.points()?, fit, Resampling::Residuals, &options, plan, &Watch::silent())
    }

    fn time(&self, threads: usize, rounds: usize, refits: usize) -> Result<()> {
        let found = self.fitted()?;
        let mut seconds = Vec::with_capacity(rounds);
        for _ in 0..rounds {
            let start = Instant::now();
            let drawn = self.refits(black_box(&found), threads, refits)?;
            seconds.push(start.elapsed().as_secs_f64());
            drop(black_box(drawn));
        }
        println!("{{\"threads\": {threads}, \"refits\": {refits}, \"seconds\": {seconds:?}}}");
        Ok(())
    }

    /// What each refit was given, drawn here once more, and what it found.
    fn check(&self, refits: usize) -> Result<()> {
        let found = self.fitted()?;
        let drawn = self.refits(&found, 1, refits)?;
        let residuals = self.adjusted(&found);
        let fitted: Vec<f64> = self.y.iter().zip(&found.residuals).map(|(y, r)| y - r).collect();
        let given = |b: u64| -> Vec<f64> {
            let mut stream = Stream::new(SEED, b);
            fitted.iter().map(|fitted| fitted + residuals[stream.below(self.y.len())]).collect()
        };
        let y: Vec<Vec<f64>> = (0..).map(given).take(refits).collect();
        println!(
            "{{\"parameters\": {:?}, \"failed\": {}, \"y\": {y:?}, \"refits\": {:?}}}",
            found.parameters,
            drawn.failed(),
            drawn.replicates()
        );
        Ok(())
    }

    /// Residuals over the root of 1 - leverage, less their mean.
    fn adjusted(&self, fit: &Fit) -> Vec<f64> {
        let curve: Curve = if self.is_power { power } else { logistic };
        let mut slope = vec![0.0; fit.p];
        let s = fit.s.unwrap_or(f64::NAN);
        let mut adjusted: Vec<f64> = self
            .rows
            .iter()
            .zip(&fit.residuals)
            .map(|(&row, r)| {
                curve(&[row], &fit.parameters, &mut slope);
                r / (1.0 - fit.variance_of(&slope).unwrap_or(f64::NAN) / (s * s)).sqrt()
            })
            .collect();
        let centre = mean(&adjusted).unwrap_or(f64::NAN);
        adjusted.iter_mut().for_each(|r| *r -= centre);
        adjusted
    }
}
