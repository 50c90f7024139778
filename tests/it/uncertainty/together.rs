//! Pieces that run together give to the last bit what each gives alone.

use woodstate::numeric::{Stream, Watch};
use woodstate::quantity::Quantity;
use woodstate::reference::{Boundary, Reference};
use woodstate::state::{
    Cause, ClassReading, ColumnUncertainty, Doubt, PieceColumns, Propagation, RUN, Reading, ReadingColumn, Readings,
    Rules, Shape, propagate, propagate_columns,
};

/// Columns of pieces from well preserved to hardly there, the odd one among them.
struct Pieces {
    saturated: Vec<f64>,
    dry: Vec<f64>,
    immersed: Vec<f64>,
    u_dry: Vec<f64>,
}

fn pieces(n: usize) -> Pieces {
    let mut stream = Stream::keyed(7, &["together"]);
    let mut pieces = Pieces { saturated: vec![], dry: vec![], immersed: vec![], u_dry: vec![] };
    for row in 0..n {
        let density = 80.0 + 500.0 * stream.uniform();
        let volume = 2.0 + 6.0 * stream.uniform();
        let dry = density * volume / 1000.0;
        let air = if row % 17 == 0 { 0.3 } else { 0.0 };
        let saturated = dry + 0.998 * (volume - dry / 1.5 - air);
        let immersed = if row % 29 == 0 { 2.0 * saturated } else { saturated - 0.998 * volume };
        let round = |mass: f64| (mass * 100.0).round() / 100.0;
        pieces.saturated.push(if row % 41 == 0 { f64::NAN } else { round(saturated) });
        pieces.dry.push(if row % 53 == 0 { 0.01 } else { round(dry) });
        pieces.immersed.push(round(immersed));
        pieces.u_dry.push(0.002 + 0.01 * stream.uniform());
    }
    pieces
}

fn common(sound_u: f64) -> Readings {
    let mut common = Readings::default();
    for (cause, value, u) in [
        (Cause::CellWallDensity, 1500.0, Some(30.0)),
        (Cause::SoundBasicDensity, 560.0, Some(sound_u)),
        (Cause::WeighingTemperature, 18.0, Some(1.0)),
        (Cause::WeighingSalinity, 0.0, Some(0.0)),
        (Cause::PoreSalinity, 7.0, Some(0.5)),
        (Cause::BalanceCalibration, 0.0, Some(0.0002)),
    ] {
        common.set(cause, Reading::normal(value, u));
    }
    common
}

/// Compares all results of all pieces; returns how many were drawn.
fn check(common: &Readings, columns: &[ReadingColumn<'_>], stated_first: bool) -> usize {
    let rules = Rules { stated_first, ..Rules::plain(Reference::shipped().unwrap()) };
    let how = Propagation { draws: 500, ..Propagation::usual() };
    let name = |piece: usize| format!("P{piece}");
    let pieces = PieceColumns { common, columns, names: &name, taxon: "oak" };
    let scheme = Reference::shipped().unwrap().scheme("oak-water-content").unwrap();
    let together = |threads| propagate_columns(&pieces, &rules, &how, Some(scheme), threads, &Watch::silent()).unwrap();
    let (one, two) = (together(1), together(2));
    let mut drawn = 0;
    for piece in 0..columns[0].value.len() {
        let mut readings = common.clone();
        for column in columns {
            let u = match column.u {
                ColumnUncertainty::Unknown => None,
                ColumnUncertainty::Same(u) => Some(u),
                ColumnUncertainty::Each(u) => Some(u[piece]),
            };
            readings.clear(column.cause);
            if column.value[piece].is_finite() {
                readings.set_own(column.cause, Reading { value: column.value[piece], u, shape: column.shape });
            }
        }
        let alone = propagate(&readings, &rules, &how, &name(piece), "oak").unwrap();
        let content = alone.values.of(Quantity::MaxWaterContent);
        let drawn_content = alone.drawn.as_ref().and_then(|drawn| drawn[Quantity::MaxWaterContent as usize].as_ref());
        let doubt = match (drawn_content, content.and_then(|content| content.u)) {
            (Some(sample), _) => Doubt::Drawn(sample),
            (None, Some(u)) => Doubt::Normal(u),
            (None, None) => Doubt::Unknown,
        };
        let class =
            content.map(|content| ClassReading::of(scheme, content.value, doubt, Boundary::Worse, 0.8).unwrap());
        let shares = class.and_then(|class| class.probability);
        for results in [&one, &two] {
            let (results, at) = (&results[piece / RUN], piece % RUN);
            for (class, column) in scheme.classes.iter().zip(results.class_shares()) {
                match &shares {
                    Some(shares) => assert_eq!(column[at].to_bits(), shares[&class.label].to_bits(), "piece {piece}"),
                    None => assert!(column[at].is_nan(), "piece {piece}"),
                }
            }
            for &quantity in Quantity::ALL {
                assert_eq!(
                    results.value(at, quantity),
                    alone.values.of(quantity),
                    "piece {piece}, {}",
                    quantity.name()
                );
            }
            assert_eq!(results.water_contents(at).collect::<Vec<_>>(), alone.water_contents, "piece {piece}");
            assert_eq!(results.densities(at).collect::<Vec<_>>(), alone.densities, "piece {piece}");
            assert_eq!(results.routes_disagree(at), alone.routes_disagree, "piece {piece}");
            assert_eq!(results.is_drawn(at), alone.drawn.is_some(), "piece {piece}");
            assert_eq!(results.impossible(at), alone.impossible.as_slice(), "piece {piece}");
            assert_eq!(results.impossible_draws(at).to_bits(), alone.impossible_draws.to_bits(), "piece {piece}");
        }
        drawn += usize::from(alone.drawn.is_some());
    }
    drawn
}

fn column<'a>(cause: Cause, value: &'a [f64], u: ColumnUncertainty<'a>) -> ReadingColumn<'a> {
    ReadingColumn { cause, value, u, shape: Shape::Rectangular }
}

#[test]
fn weighed_and_hung_pieces_agree_to_the_last_bit() {
    let pieces = pieces(RUN + 900);
    let balance = ColumnUncertainty::Same(0.01 / 12.0_f64.sqrt());
    let columns = [
        column(Cause::MassSaturated, &pieces.saturated, balance),
        column(Cause::MassOvenDry, &pieces.dry, balance),
        column(Cause::MassImmersed, &pieces.immersed, balance),
    ];
    let drawn = check(&common(30.0), &columns, false);
    assert!(drawn > 0 && drawn < 600, "{drawn} drawn");
}

#[test]
fn a_reference_that_bends_is_drawn_once_and_agrees() {
    let pieces = pieces(400);
    let each = ColumnUncertainty::Each(&pieces.u_dry);
    let columns = [
        column(Cause::MassOvenDry, &pieces.dry, each),
        column(Cause::MassSaturated, &pieces.saturated, ColumnUncertainty::Same(0.003)),
    ];
    let drawn = check(&common(150.0), &columns, false);
    assert_eq!(drawn, 400);
}

#[test]
fn unknown_and_exact_uncertainties_agree() {
    let pieces = pieces(500);
    let volume: Vec<f64> = pieces.dry.iter().map(|dry| dry / 0.21).collect();
    let columns = [
        column(Cause::MassSaturated, &pieces.saturated, ColumnUncertainty::Unknown),
        column(Cause::MassOvenDry, &pieces.dry, ColumnUncertainty::Same(0.0)),
        column(Cause::VolumeSaturated, &volume, ColumnUncertainty::Same(0.05)),
        column(Cause::PoreSalinity, &pieces.u_dry, ColumnUncertainty::Same(0.001)),
        column(Cause::Stated(Quantity::BasicDensity), &pieces.saturated, ColumnUncertainty::Same(5.0)),
    ];
    check(&common(30.0), &columns, true);
}
