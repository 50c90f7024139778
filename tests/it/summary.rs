//! Summaries: numbers against packages outside and by hand, what is unknown is counted, rows may stand in any order.

mod program;

use woodstate::numeric::{Watch, wilson_interval};
use woodstate::report::{summary_view, text};
use woodstate::site::{ClassStanding, Member, NoMean, Spread, u_of_mean};
use woodstate::state::{Cause, DepthZone, Parts};
use woodstate::study::{Study, Summary, SummaryQuestion, summary};
use woodstate::table::{SourceFile, batch_of};

fn frozen() -> serde_json::Value {
    serde_json::from_str(include_str!("expected/outside/summary.json")).unwrap()
}

fn count(value: &serde_json::Value) -> usize {
    usize::try_from(value.as_u64().unwrap()).unwrap()
}

#[track_caller]
fn close(actual: f64, expected: f64, within: f64) {
    assert!((actual - expected).abs() <= within * expected.abs().max(1e-3), "{actual} is not {expected}");
}

fn member(timber: &str, zone: DepthZone, value: Option<f64>, parts: Option<Parts>) -> Member {
    Member {
        key: Vec::new(),
        timber: Some(timber.to_owned()),
        taxon: Some("Quercus".to_owned()),
        zone,
        values: vec![value],
        parts: vec![parts],
        class: ClassStanding::Unread,
    }
}

fn spread(members: &[Member]) -> Spread {
    Spread::of("max_water_content", "%", &members.iter().collect::<Vec<_>>(), 0)
}

fn asked(csv: &str, values: &[&str], by: &[&str], condition: Option<&str>) -> woodstate::error::Result<Summary> {
    let study = Study::parse("[instruments]\nbalance = \"0.01 g\"", "woodstate.toml")?;
    let batch = batch_of(&SourceFile::from_bytes("d.csv", csv.as_bytes().to_vec()), &study.read, &Watch::silent())?;
    let words = |words: &[&str]| words.iter().map(|word| (*word).to_owned()).collect();
    let question = SummaryQuestion { values: words(values), by: words(by), condition: condition.map(str::to_owned) };
    summary(&study, batch, &question, &Watch::silent())
}

/// Source: `SciPy`, frozen by `tests/outside/freeze_summary.py`.
#[test]
fn intervals_of_shares_agree_with_scipy_to_twelve_digits() {
    for case in frozen()["wilson"].as_array().unwrap() {
        let [low, high] = wilson_interval(count(&case["hits"]), count(&case["n"]), case["coverage"].as_f64().unwrap())
            .unwrap()
            .unwrap();
        close(low, case["interval"][0].as_f64().unwrap(), 1e-12);
        close(high, case["interval"][1].as_f64().unwrap(), 1e-12);
    }
}

/// Source: R. G. Newcombe 1998, Statistics in Medicine 17, 857-872, table I, method 3 [memory].
#[test]
fn intervals_of_shares_agree_with_the_printed_examples() {
    for (hits, n, low, high) in
        [(81, 263, 0.2553, 0.3662), (15, 148, 0.0624, 0.1605), (0, 20, 0.0, 0.1611), (1, 29, 0.0061, 0.1718)]
    {
        let [found_low, found_high] = wilson_interval(hits, n, 0.95).unwrap().unwrap();
        assert!((found_low - low).abs() < 5.1e-5 && (found_high - high).abs() < 5.1e-5, "{hits} of {n}");
    }
}

#[test]
fn a_share_of_nothing_is_unknown_and_more_hits_than_counts_are_refused() {
    assert_eq!(wilson_interval(0, 0, 0.95).unwrap(), None);
    assert!(wilson_interval(3, 2, 0.95).is_err() && wilson_interval(1, 2, 1.0).is_err());
}

/// Source: `NumPy`, frozen by `tests/outside/freeze_summary.py`.
#[test]
fn means_deviations_and_quartiles_agree_with_numpy() {
    for case in frozen()["samples"].as_array().unwrap() {
        let values: Vec<f64> = case["values"].as_array().unwrap().iter().map(|value| value.as_f64().unwrap()).collect();
        let members: Vec<Member> =
            values.iter().map(|value| member("B01", DepthZone::Outer, Some(*value), None)).collect();
        let found = spread(&members);
        close(found.mean.unwrap(), case["mean"].as_f64().unwrap(), 1e-14);
        assert_eq!(found.sd.is_some(), case["sd"].is_number());
        if let (Some(sd), Some(expected)) = (found.sd, case["sd"].as_f64()) {
            close(sd, expected, 1e-14);
        }
        let five = [found.min, found.lower_quartile, found.median, found.upper_quartile, found.max];
        for (found, expected) in five.into_iter().zip(case["quantiles"].as_array().unwrap()) {
            close(found.unwrap(), expected.as_f64().unwrap(), 1e-14);
        }
    }
}

/// By hand: 4 pieces, own u 3 each, a shared part of 2: √(9/4 + 4) = 2.5; the parts of two woods in one cause of the wood,
/// two pieces each: √(9/4 + 2 (2·2/4)²) = √4.25.
#[test]
fn what_pieces_share_does_not_average_out_and_woods_are_apart() {
    let parts = |cause: Cause| {
        let mut parts = Parts { own_variance: 9.0, ..Parts::default() };
        parts.shared[Cause::shared_index(cause.index()).unwrap()] = 2.0;
        parts
    };
    let (wall, sound) = (parts(Cause::CellWallDensity), parts(Cause::SoundBasicDensity));
    let woods = [Some("oak"), Some("oak"), Some("elm"), Some("elm")];
    close(u_of_mean(&woods.map(|wood| (wall, wood))).unwrap(), 2.5, 1e-15);
    close(u_of_mean(&woods.map(|wood| (sound, wood))).unwrap(), 4.25_f64.sqrt(), 1e-15);
    close(u_of_mean(&[Some("oak"); 4].map(|wood| (sound, wood))).unwrap(), 2.5, 1e-15);
    assert_eq!(u_of_mean(&[]), None);
}

#[test]
fn the_uncertainty_of_a_mean_is_unknown_where_one_is_unknown() {
    let known = Some(Parts { own_variance: 1.0, ..Parts::default() });
    let two =
        |parts| [member("B01", DepthZone::Outer, Some(1.0), known), member("B02", DepthZone::Outer, Some(2.0), parts)];
    assert_eq!((spread(&two(None)).mean, spread(&two(None)).u_of_mean), (Some(1.5), None));
    assert_eq!(spread(&two(known)).u_of_mean, Some(0.5_f64.sqrt()));
}

#[test]
fn no_mean_is_taken_over_a_rim_and_a_core() {
    let of = |timber| {
        [(DepthZone::Outer, 600.0), (DepthZone::Inner, 120.0)]
            .map(|(zone, value)| member(timber, zone, Some(value), None))
    };
    let both = spread(&of("B01"));
    assert_eq!((both.mean, both.sd, both.u_of_mean, both.no_mean), (None, None, None, Some(NoMean::SeveralZones)));
    assert_eq!((both.median, both.n_timbers), (Some(360.0), 1));
    let apart =
        [member("B01", DepthZone::Outer, Some(600.0), None), member("B02", DepthZone::Inner, Some(120.0), None)];
    assert_eq!(spread(&apart).no_mean, Some(NoMean::SeveralZones));
    let unknown = |n: usize| {
        let members = [200.0, 400.0].map(|value| member("B01", DepthZone::Unknown, Some(value), None));
        spread(&members[..n])
    };
    assert_eq!((unknown(2).mean, unknown(2).no_mean), (None, Some(NoMean::ZoneUnknown)));
    assert_eq!((unknown(2).median, unknown(1).mean), (Some(300.0), Some(200.0)));
}

#[test]
fn what_is_unknown_is_counted_and_never_a_number() {
    let members = [member("B01", DepthZone::Outer, None, None), member("B02", DepthZone::Outer, None, None)];
    let found = spread(&members);
    assert_eq!((found.n, found.n_unknown, found.n_timbers, found.no_mean), (0, 2, 0, Some(NoMean::NothingKnown)));
    assert_eq!([found.mean, found.sd, found.min, found.median, found.max], [None; 5]);
}

const HEAD: &str =
    "sample,timber,taxon,core_id,context,depth_from [mm],depth_to [mm],mass_saturated [g],mass_oven_dry [g]\n";
const ROWS: [&str; 6] = [
    "K1-1,B01,oak,K1,barge,0,10,6,1\n",
    "K1-2,B01,oak,K1,barge,10,20,2.5,1\n",
    "K2-1,B02,oak,K2,barge,0,10,7,1\n",
    "K3-1,B03,elm,K3,jetty,0,10,5,1\n",
    "K4-1,,oak,K4,,,,4,1\n",
    "K5-1,B03,elm,K5,jetty,0,10,,\n",
];

fn csv(rows: &[&str]) -> String {
    HEAD.to_owned() + &rows.concat()
}

/// By hand: water contents 500, 150, 600, 400, 300 and one unknown.
#[test]
fn groups_count_pieces_timbers_and_what_is_unknown() {
    let found = asked(&csv(&ROWS), &["max_water_content"], &["context"], None).unwrap();
    let keys: Vec<Option<&str>> = found.groups.iter().map(|group| group.by[0].value.as_deref()).collect();
    assert_eq!(keys, [Some("barge"), Some("jetty"), None]);
    let counts = found
        .groups
        .iter()
        .map(|g| (g.n_pieces, g.n_timbers, g.n_without_timber, g.values[0].n, g.values[0].n_unknown));
    assert_eq!(counts.collect::<Vec<_>>(), [(3, 2, 0, 3, 0), (2, 1, 0, 1, 1), (1, 0, 1, 1, 0)]);
    let barge = &found.groups[0].values[0];
    close(barge.median.unwrap(), 500.0, 1e-12);
    assert_eq!((barge.mean, barge.n_timbers), (None, 2));
    assert_eq!(found.groups.iter().map(|group| group.n_pieces).sum::<usize>(), ROWS.len());
}

#[test]
fn one_zone_has_a_mean() {
    let outer =
        asked(&csv(&ROWS), &["max_water_content"], &[], Some("depth_zone == 'outer' and context == 'barge'")).unwrap();
    close(outer.groups[0].values[0].mean.unwrap(), 550.0, 1e-12);
    let choice = &outer.choices[0];
    assert_eq!((choice.of, choice.rows, choice.kept, choice.unknown), ("piece", 6, 2, 1));
}

#[test]
fn results_and_columns_of_the_file_can_be_asked_together() {
    let found =
        asked(&csv(&ROWS), &["mass_oven_dry", "max_water_content"], &[], Some("max_water_content >= 400 %")).unwrap();
    let values = &found.groups[0].values;
    assert_eq!((found.groups[0].n_pieces, values[0].quantity.as_str(), values[0].unit), (3, "mass_oven_dry", "g"));
    assert_eq!((values[0].median, values[0].u_of_mean), (Some(1.0), None));
}

#[test]
fn the_order_of_rows_changes_nothing() {
    let json = |rows: &[&str]| {
        let found = asked(&csv(rows), &[], &["taxon", "depth_zone"], None).unwrap();
        serde_json::to_string(&found.groups).unwrap()
    };
    let mut turned = ROWS;
    turned.reverse();
    assert_eq!(json(&ROWS), json(&turned));
    turned.swap(0, 3);
    assert_eq!(json(&ROWS), json(&turned));
}

#[test]
fn a_file_without_rows_has_no_group() {
    let found = asked(&csv(&[]), &[], &["context"], None).unwrap();
    assert_eq!((found.groups.len(), found.counts.rows), (0, 0));
}

#[test]
fn names_that_do_not_exist_or_hold_no_numbers_are_refused_with_the_near_ones() {
    let text = |values: &[&str], by: &[&str]| asked(&csv(&ROWS), values, by, None).unwrap_err().to_string();
    assert!(text(&["max_water_contents"], &[]).contains("known: max_water_content"));
    assert!(text(&["context"], &[]).starts_with("unknown quantity or column of numbers \"context\""));
    assert!(text(&[], &["contxt"]).contains("unknown column \"contxt\"; known: context"));
}

#[test]
fn a_wood_makes_one_group_however_it_is_written() {
    let rows = [
        "A,quercus robur,5,1",
        "B,Quercus  robur,5,1",
        "C,weird wood,5,1",
        "D,Weird  Wood,5,1",
        "E,oak,,",
        "F,Oak,5,1",
    ];
    let csv = format!("sample,taxon,mass_saturated [g],mass_oven_dry [g]\n{}\n", rows.join("\n"));
    let groups = asked(&csv, &[], &["taxon"], None).unwrap().groups;
    let found: Vec<_> = groups.iter().map(|group| (group.by[0].value.as_deref(), group.n_pieces)).collect();
    assert_eq!(found, [(Some("Quercus"), 2), (Some("Quercus robur"), 2), (Some("weird wood"), 2)]);
}

#[test]
fn a_summary_by_two_columns_breaks_no_cell_in_eighty_characters() {
    let rows = "A,T1,Quercus robur,0,10,5.37,1.05\nB,T1,Quercus robur,20,30,4,1.2\nC,T2,Fraxinus excelsior,0,10,6,1\n\
                D,T3,Fraxinus excelsior,0,10,5,1.1\n";
    let csv = format!("sample,timber,taxon,depth_from [mm],depth_to [mm],mass_saturated [g],mass_oven_dry [g]\n{rows}");
    let found = asked(&csv, &["max_water_content"], &["taxon", "depth_zone"], None).unwrap();
    let shown = text(&summary_view(&found), 80);
    assert!(shown.lines().all(|line| line.chars().count() <= 80), "{shown}");
    let of_ash: Vec<&str> = shown.lines().filter(|line| line.starts_with("Fraxinus excelsior  outer")).collect();
    // (6 - 1) / 1 and (5 - 1.1) / 1.1 = 354.5 %; quartiles of type 7 of two values lie at a quarter of the way.
    assert_eq!(of_ash[1], "Fraxinus excelsior  outer        427.3  390.9 - 463.6    354.5 - 500");
    assert!(of_ash[0].contains(" ± "), "{shown}");
}
