//! A timber: never a mean across rim and core, the worst zone decides, the scatter between cores gives the probability.

use std::f64::consts::FRAC_1_PI;

use woodstate::error::CautionCode;
use woodstate::numeric::Watch;
use woodstate::quantity::{Measured, Quantity};
use woodstate::reference::Reference;
use woodstate::state::{State, StateOptions, Timber, Zone, assess};
use woodstate::table::{Batch, Numbers, Table, TableKind, Values};

/// A piece: core, depth from and to, maximum water content; its uncertainty comes from a balance of 0.001 g.
type Cut = (&'static str, Option<[f64; 2]>, f64);

fn state(cuts: &[Cut]) -> State {
    let texts = |of: &dyn Fn(usize) -> String| Values::Texts((0..cuts.len()).map(|row| Some(of(row))).collect());
    let numbers = |of: &dyn Fn(&Cut) -> Option<f64>| Values::Numbers(Numbers::from_values(cuts.iter().map(of)));
    let columns = vec![
        ("sample".to_owned(), texts(&|row| format!("S{row}"))),
        ("timber".to_owned(), texts(&|_| "B01".to_owned())),
        ("taxon".to_owned(), texts(&|_| "Quercus robur".to_owned())),
        ("core_id".to_owned(), texts(&|row| cuts[row].0.to_owned())),
        ("depth_from".to_owned(), numbers(&|cut| cut.1.map(|depth| depth[0]))),
        ("depth_to".to_owned(), numbers(&|cut| cut.1.map(|depth| depth[1]))),
        ("mass_oven_dry".to_owned(), numbers(&|_| Some(1.0))),
        ("mass_saturated".to_owned(), numbers(&|cut| Some(1.0 + cut.2 / 100.0))),
    ];
    let batch = Batch::of_samples(Table::from_columns(TableKind::Samples, columns).unwrap());
    assess(&batch, &options(), Reference::shipped().unwrap(), &Watch::silent()).unwrap()
}

fn options() -> StateOptions {
    let mut options = StateOptions::unstated(Reference::shipped().unwrap()).unwrap();
    options.instruments.balance = Some(0.001);
    options.waters.pore_salinity = Some(Measured::new(0.0, 0.0));
    options
}

fn timber(cuts: &[Cut]) -> Timber {
    state(cuts).timbers.remove(0)
}

fn content(zone: Option<&Zone>) -> f64 {
    zone.unwrap().values.of(Quantity::MaxWaterContent).unwrap().value
}

fn close(actual: f64, expected: f64) {
    assert!((actual - expected).abs() < 1e-9 * expected.abs(), "{actual} is not {expected}");
}

#[test]
fn a_soft_rim_and_a_sound_core_are_never_averaged() {
    let timber = timber(&[("K1", Some([0.0, 10.0]), 600.0), ("K1", Some([10.0, 20.0]), 120.0)]);
    close(content(timber.outer.as_ref()), 600.0);
    close(content(timber.inner.as_ref()), 120.0);
    let json = serde_json::to_string(&timber).unwrap();
    assert!(!json.contains("360"), "the mean over rim and core stands in {json}");
}

#[test]
fn the_worst_zone_decides_even_if_it_is_the_core() {
    let soft_core = timber(&[("K1", Some([0.0, 10.0]), 120.0), ("K1", Some([10.0, 20.0]), 600.0)]);
    assert_eq!(soft_core.degradation_class.most_likely.as_deref(), Some("I"));
    let soft_rim = timber(&[("K1", Some([0.0, 10.0]), 600.0), ("K1", Some([10.0, 20.0]), 120.0)]);
    assert_eq!(soft_rim.degradation_class.most_likely.as_deref(), Some("I"));
}

#[test]
fn a_soft_layer_between_rim_and_core_decides_too() {
    let timber = timber(&[
        ("K1", Some([0.0, 10.0]), 150.0),
        ("K1", Some([10.0, 20.0]), 600.0),
        ("K1", Some([20.0, 30.0]), 120.0),
    ]);
    assert_eq!(timber.degradation_class.most_likely.as_deref(), Some("I"));
    assert_eq!(timber.worst.unwrap().sample.as_deref(), Some("S1"));
}

#[test]
fn one_core_says_nothing_of_the_scatter_between_cores() {
    let timber = timber(&[("K1", Some([0.0, 10.0]), 600.0), ("K1", Some([10.0, 20.0]), 120.0)]);
    assert_eq!(timber.degradation_class.probability, None);
    assert!(!timber.degradation_class.decided);
    assert!(timber.cautions.contains(CautionCode::OneCore));
}

/// Two cores leave one degree of freedom, and Student's distribution is then that of Cauchy:
/// F(x) = 1/2 + atan(x)/π.
///
/// Source: Johnson NL, Kotz S, Balakrishnan N 1995, Continuous Univariate Distributions, vol. 2, ch. 28, from memory.
#[test]
fn two_cores_give_the_probability_of_a_cauchy_distribution() {
    let timber = timber(&[("K1", Some([0.0, 10.0]), 450.0), ("K2", Some([0.0, 10.0]), 470.0)]);
    let value = timber.outer.unwrap().values.of(Quantity::MaxWaterContent).unwrap();
    close(value.value, 460.0);
    // Scatter 14.142 between two cores: 10 for their mean, far above what the balance gives.
    assert!((value.u.unwrap() - 10.0).abs() < 0.01);
    let below = |end: f64| 0.5 + ((end - 460.0) / value.u.unwrap()).atan() * FRAC_1_PI;
    let probability = timber.degradation_class.probability.unwrap();
    assert!((probability["I"] - (1.0 - below(400.0))).abs() < 1e-9);
    assert!((probability["II"] - (below(400.0) - below(185.0))).abs() < 1e-9);
    assert!((probability["III"] - below(185.0)).abs() < 1e-9);
}

#[test]
fn a_piece_of_unknown_depth_enters_no_mean_and_may_be_the_worst() {
    let timber = timber(&[("K1", Some([0.0, 10.0]), 150.0), ("K2", Some([0.0, 10.0]), 160.0), ("P", None, 600.0)]);
    close(content(timber.outer.as_ref()), 155.0);
    assert_eq!(timber.degradation_class.most_likely.as_deref(), Some("I"));
    assert!(timber.cautions.contains(CautionCode::DepthUnknown));
}

/// Without drying, the cell wall decides: its part is common to all pieces and must stand whole in their mean.
#[test]
fn what_pieces_share_does_not_average_out() {
    let columns = |n: usize| {
        let texts = |text: &str| Values::Texts(vec![Some(text.to_owned()); n].into());
        let numbers = |value: f64| Values::Numbers(Numbers::from_values(vec![Some(value); n]));
        let names = Values::Texts((0..n).map(|row| Some(format!("S{row}"))).collect());
        let cores = Values::Texts((0..n).map(|row| Some(format!("K{row}"))).collect());
        vec![
            ("sample".to_owned(), names),
            ("core_id".to_owned(), cores),
            ("timber".to_owned(), texts("B01")),
            ("taxon".to_owned(), texts("Quercus robur")),
            ("depth_from".to_owned(), numbers(0.0)),
            ("depth_to".to_owned(), numbers(10.0)),
            ("mass_saturated".to_owned(), numbers(106.4)),
            ("mass_immersed".to_owned(), numbers(6.4)),
        ]
    };
    let u = |n: usize| {
        let batch = Batch::of_samples(Table::from_columns(TableKind::Samples, columns(n)).unwrap());
        let state = assess(&batch, &options(), Reference::shipped().unwrap(), &Watch::silent()).unwrap();
        let zone = state.timbers[0].outer.clone().unwrap();
        let shared: f64 = {
            let parts = state.pieces.get(0).unwrap().parts.of(Quantity::BasicDensity).unwrap();
            parts.shared.iter().map(|part| part * part).sum::<f64>().sqrt()
        };
        (zone.values.of(Quantity::BasicDensity).unwrap().u.unwrap(), shared)
    };
    let (of_fifty, shared) = u(50);
    assert!(shared > 4.0, "a cell wall of 1500 ± 30 kg/m3 gives about 8 kg/m3 here, not {shared}");
    assert!(of_fifty >= shared && of_fifty < 1.001 * shared, "{of_fifty} against {shared}");
}

#[test]
fn a_timber_without_samples_is_listed() {
    let names = Values::Texts(vec![Some("B01".to_owned()), Some("B02".to_owned())].into());
    let timbers = Table::from_columns(TableKind::Timbers, vec![("timber".to_owned(), names)]).unwrap();
    let samples = Table::from_columns(
        TableKind::Samples,
        vec![
            ("sample".to_owned(), Values::Texts(vec![Some("S".to_owned())].into())),
            ("timber".to_owned(), Values::Texts(vec![Some("B01".to_owned())].into())),
            ("max_water_content".to_owned(), Values::Numbers(Numbers::from_values([Some(300.0)]))),
        ],
    )
    .unwrap();
    let batch = Batch { timbers: Some(timbers), ..Batch::of_samples(samples) };
    let state = assess(&batch, &options(), Reference::shipped().unwrap(), &Watch::silent()).unwrap();
    let counts: Vec<(&str, usize)> = state.timbers.iter().map(|t| (t.timber.as_str(), t.n_samples)).collect();
    assert_eq!(counts, [("B01", 1), ("B02", 0)]);
    assert_eq!(state.timbers[1].degradation_class.reason.as_deref(), Some("no sample was taken"));
}
