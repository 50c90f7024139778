//! `join` in cells.

use super::desk::{fault, in_folder, text};
use crate::support::program::Folder;

fn folder() -> Folder {
    Folder::of(&[
        ("a.csv", b"sample,taxon,mass_saturated [g],mass_oven_dry [g]\nK1,oak,5,1\nK2,oak,6,2\nK3,oak,7,2\n"),
        ("ash.csv", b"sample,taxon,ash_content [%]\nK2,pine,2.5\nK1,oak,3.1\nK9,oak,1\n"),
        ("twice.csv", b"sample,ash_content [%]\nK2,2.5\nK2,3.1\n"),
        ("none.csv", b"sample,ash_content [%]\nX2,2.5\n"),
    ])
}

#[test]
fn columns_come_by_the_names_of_rows() {
    in_folder(&folder().path(""), |session, heard| {
        text(session, "t = read('a.csv')");
        heard.notes.borrow_mut().clear();
        text(session, "j = join(t, read('ash.csv'))");
        let notes = heard.notes.borrow();
        let said = notes.lines().last().unwrap();
        assert_eq!(
            said,
            "2 rows joined by sample: ash_content; unknown for 1 without a row there: K3; 1 there without a row here: K9; \
             both have taxon, left as here."
        );
        drop(notes);
        assert_eq!(text(session, "j.ash_content.values"), "[3.1, 2.5, None]");
        assert_eq!(text(session, "[j.taxon[1], len(j), len(assess(j))]"), "[\"oak\", 3, 3]");
    });
}

#[test]
fn doubtful_joins_are_refused() {
    in_folder(&folder().path(""), |session, _| {
        text(session, "t = read('a.csv')");
        let twice = fault(session, "join(t, read('twice.csv'))");
        assert!(twice.text.contains("K2 stands in row 2 too"), "{twice}");
        assert_eq!(twice.kind, "data");
        assert_eq!(
            fault(session, "join(t, read('none.csv'))").text,
            "No sample of this table stands in the other one."
        );
        assert_eq!(fault(session, "join(t, t)").text, "The other table has no column that this one lacks.");
        assert_eq!(fault(session, "join(t, read('ash.csv'), on='smple')").kind, "name");
        assert_eq!(
            fault(session, "join(t, 3)").text,
            "Join takes two tables of measurements, and this is a whole number."
        );
    });
}
