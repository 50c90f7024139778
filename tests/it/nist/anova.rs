//! Analysis of variance: 11 sets.

use woodstate::numeric::{Anova, one_way_anova};

use super::data::{digits, lines, numbers};

/// Certified: degrees of freedom and sums of squares between and within, F, R², residual standard deviation.
struct Table {
    between: [f64; 2],
    within: [f64; 2],
    f: f64,
    r_squared: f64,
    sd: f64,
    groups: Vec<Vec<f64>>,
}

fn table(name: &str) -> Table {
    let lines = lines(&format!("anova/{name}.dat"));
    let row = |start: &str| numbers(lines.iter().find(|line| line.starts_with(start)).unwrap());
    let after = |word: &str| numbers(lines[40..].iter().find(|line| line.contains(word)).unwrap())[0];
    let mut groups: Vec<Vec<f64>> = Vec::new();
    let mut last = None;
    for row in lines[60..].iter().map(|line| numbers(line)).filter(|row| row.len() == 2) {
        if last.replace(row[0].to_bits()) != Some(row[0].to_bits()) {
            groups.push(Vec::new());
        }
        groups.last_mut().unwrap().push(row[1]);
    }
    let (between, within) = (row("Between"), row("Within"));
    Table {
        between: [between[0], between[1]],
        within: [within[0], within[1]],
        f: between[3],
        r_squared: after("R-Squared"),
        sd: after("Standard Deviation"),
        groups,
    }
}

/// The only caller.
fn analysed(groups: &[Vec<f64>]) -> Anova {
    let slices: Vec<&[f64]> = groups.iter().map(Vec::as_slice).collect();
    one_way_anova(&slices).unwrap()
}

/// Source: NIST Statistical Reference Datasets, analysis of variance, certified to 15 digits. Exact rational arithmetic on the same numbers as a
/// machine stores them reaches 10.2 digits of F in `AtmWtAg` and 10.4, 10.2, 10.2, 4.4, 4.2, 4.2 in `SmLs04` … `SmLs09`.
#[track_caller]
fn agrees(name: &str, least: f64) {
    let table = table(name);
    let result = analysed(&table.groups);
    let f64_of = |count: usize| f64::from(u32::try_from(count).unwrap());
    assert!((f64_of(result.between.freedom) - table.between[0]).abs() < 0.5, "{name}");
    assert!((f64_of(result.within.freedom) - table.within[0]).abs() < 0.5, "{name}");
    let found = [
        ("F", result.f.unwrap(), table.f),
        ("between", result.between.sum, table.between[1]),
        ("within", result.within.sum, table.within[1]),
        ("R²", result.r_squared.unwrap(), table.r_squared),
        ("sd", result.residual_sd.unwrap(), table.sd),
    ];
    for (what, value, certified) in found {
        let digits = digits(value, certified);
        // F is a ratio, in which some of what storing costs cancels.
        let least = if what == "F" { least } else { least - 0.3 };
        assert!(digits >= least, "{name}, {what}: {value:e} instead of {certified:e}, {digits:.1} digits");
    }
}

#[test]
fn easy_sets_agree_to_eleven_digits() {
    for name in ["SiRstv", "SmLs01", "SmLs02", "SmLs03"] {
        agrees(name, 11.0);
    }
}

#[test]
fn seven_constant_digits_leave_ten() {
    for name in ["AtmWtAg", "SmLs04", "SmLs05", "SmLs06"] {
        agrees(name, 10.1);
    }
}

#[test]
fn thirteen_constant_digits_leave_four() {
    for name in ["SmLs07", "SmLs08", "SmLs09"] {
        agrees(name, 4.1);
    }
}

/// Source: exact rational arithmetic on the stored numbers of `SmLs07`, F = 21.000812: the digits are lost where decimals
/// are stored, not here.
#[test]
fn the_digits_that_storing_leaves_are_all_kept() {
    let f = analysed(&table("SmLs07").groups).f.unwrap();
    assert!((f - 21.000_812).abs() < 1e-6, "{f}");
}

/// Source: `SciPy` 1.17.1, `scipy.stats.f_oneway(*g)`, four groups of our own.
#[test]
fn unequal_groups_agree_with_scipy() {
    let groups = [
        vec![440.191, 420.771, 464.838, 462.75, 436.763, 447.01, 395.889, 423.529, 456.498, 467.866, 449.731, 425.317],
        vec![404.02, 443.639, 358.498, 474.215, 409.713, 383.774, 373.224, 369.188, 454.334],
        super::GROUP.to_vec(),
        vec![471.252, 451.523, 493.047, 479.944, 488.948, 444.94, 466.392],
    ];
    let result = analysed(&groups);
    assert!((result.f.unwrap() / 6.789731523204819 - 1.0).abs() < 1e-12);
    assert!((result.probability.unwrap() / 0.0008585357807552966 - 1.0).abs() < 1e-11);
}

#[test]
fn what_cannot_be_told_is_none() {
    let alike = analysed(&[vec![2.0, 2.0], vec![2.0, 2.0, 2.0]]);
    assert_eq!((alike.f, alike.probability, alike.r_squared, alike.residual_sd), (None, None, None, Some(0.0)));
    let single = analysed(&[vec![1.0], vec![3.0]]);
    assert_eq!((single.f, single.r_squared, single.residual_sd), (None, Some(1.0), None));
}

#[test]
fn a_value_that_is_no_number_is_named() {
    let message = |groups: &[&[f64]]| one_way_anova(groups).unwrap_err().to_string();
    assert_eq!(message(&[&[1.0, 2.0], &[f64::NAN]]), "group 2, value 1 is NaN; allowed is a finite number");
    assert_eq!(message(&[&[1.0, 2.0], &[]]), "number of values in group 2 is 0; allowed is at least 1");
    assert_eq!(message(&[&[1.0, 2.0]]), "number of groups is 1; allowed is at least 2");
}
