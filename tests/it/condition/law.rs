//! Laws of conditions, for any of them.

use proptest::prelude::{ProptestConfig, Strategy, prop_oneof};
use proptest::test_runner::RngSeed;
use proptest::{proptest, sample};

use woodstate::table::{Condition, Names};

use super::{choose, table};

fn fixed(cases: u32) -> ProptestConfig {
    ProptestConfig { cases, rng_seed: RngSeed::Fixed(1), failure_persistence: None, ..ProptestConfig::default() }
}

/// Conditions that can be read.
fn condition() -> impl Strategy<Value = String> {
    const LEAVES: [&str; 10] = [
        "depth_from < 15 mm",
        "depth_from >= 2 cm",
        "depth_from != 10",
        "taxon == 'oak'",
        "taxon != 'pedunculate oak'",
        "charring in ('none', 'through')",
        "context == 'barge'",
        "unknown(depth_from)",
        "date_sampled > '2023-05-31'",
        "`Kiste Nr.` == '7'",
    ];
    sample::select(&LEAVES[..]).prop_map(str::to_owned).prop_recursive(3, 12, 2, |inner| {
        prop_oneof![
            inner.clone().prop_map(|one| format!("not ({one})")),
            (inner.clone(), inner.clone()).prop_map(|(one, other)| format!("({one}) and ({other})")),
            (inner.clone(), inner).prop_map(|(one, other)| format!("({one}) or ({other})")),
        ]
    })
}

proptest! {
    #![proptest_config(fixed(200))]

    #[test]
    fn a_condition_and_its_opposite_and_the_unknown_are_all_rows(condition in condition()) {
        let (kept, yes) = choose(&condition);
        let (others, no) = choose(&format!("not ({condition})"));
        assert_eq!(kept.len() + others.len() + yes.unknown, 6);
        assert_eq!((yes.left_out, yes.unknown), (others.len(), no.unknown));
        assert!(kept.iter().all(|name| !others.contains(name)));
    }

    #[test]
    fn and_or_and_not_obey_de_morgan(one in condition(), other in condition()) {
        let both = choose(&format!("not (({one}) and ({other}))")).0;
        assert_eq!(both, choose(&format!("not ({one}) or not ({other})")).0);
    }

    #[test]
    fn any_text_is_read_or_answered(text in "[a-z_<>=!'()0-9., %µ≤-]{0,40}") {
        let _ = Condition::parse(&text, &Names::of_table(&table()));
    }
}
