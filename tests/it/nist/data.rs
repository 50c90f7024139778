//! Reading the files as they were published.

use std::fs;
use std::path::Path;

/// One certified parameter: two starts, value, standard deviation.
#[derive(Debug, Clone, Copy)]
pub(super) struct Certified {
    pub(super) starts: [f64; 2],
    pub(super) value: f64,
    pub(super) sd: f64,
}

/// A set of `nls/`.
#[derive(Debug, Clone)]
pub(super) struct Regression {
    pub(super) parameters: Vec<Certified>,
    pub(super) rss: f64,
    pub(super) s: f64,
    pub(super) y: Vec<f64>,
    pub(super) x: Vec<f64>,
}

pub(super) fn lines(file: &str) -> Vec<String> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/nist").join(file);
    let text = fs::read_to_string(&path).unwrap_or_else(|error| panic!("{file}: {error}"));
    text.lines().map(str::to_owned).collect()
}

pub(super) fn numbers(line: &str) -> Vec<f64> {
    line.split_whitespace().filter_map(|word| word.parse().ok()).collect()
}

pub(super) fn regression(name: &str) -> Regression {
    let lines = lines(&format!("nls/{name}.dat"));
    let of = |start: &str| {
        let line = lines.iter().find(|line| line.starts_with(start)).unwrap();
        numbers(line.rsplit(':').next().unwrap())[0]
    };
    let parameters = lines[40..]
        .iter()
        .take_while(|line| line.contains('='))
        .map(|line| match numbers(line.rsplit('=').next().unwrap())[..] {
            [one, two, value, sd] => Certified { starts: [one, two], value, sd },
            _ => panic!("{name}: {line}"),
        })
        .collect();
    let rows: Vec<Vec<f64>> = lines[60..].iter().map(|line| numbers(line)).filter(|row| !row.is_empty()).collect();
    let count = of("Number of Observations");
    assert!((count - f64::from(u32::try_from(rows.len()).unwrap())).abs() < 0.5, "{name} has {count} readings");
    // The set Nelson is certified for ln y.
    let taken = |y: f64| if name == "Nelson" { y.ln() } else { y };
    Regression {
        parameters,
        rss: of("Residual Sum of Squares"),
        s: of("Residual Standard Deviation"),
        y: rows.iter().map(|row| taken(row[0])).collect(),
        x: rows.iter().flat_map(|row| row[1..].to_vec()).collect(),
    }
}

/// Equal significant digits: −log₁₀ of the relative difference, at most 11, the digits that are certified.
pub(super) fn digits(value: f64, certified: f64) -> f64 {
    let miss = ((value - certified) / certified).abs();
    if miss > 0.0 {
        (-miss.log10()).clamp(0.0, 11.0)
    } else if miss.is_nan() {
        0.0
    } else {
        11.0
    }
}
