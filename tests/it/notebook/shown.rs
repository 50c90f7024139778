//! What a person sees, as text and as part of a page.

use super::desk::{in_harbour, text};
use crate::support::expected::equals;

#[test]
fn values_read_as_expected() {
    in_harbour(|session, heard| {
        let cells = [
            "help()",
            "t = read('harbour.xlsx')\nt",
            "s = assess(t)\ns",
            "s.sort('max_water_content', descending=True)[0:4]",
            "s.basic_density",
            "t.taxon",
            "settings()",
            "help(assess)",
        ];
        let mut seen = String::new();
        for cell in cells {
            heard.notes.borrow_mut().clear();
            let shown = text(session, cell);
            seen.push_str(&format!("{cell}\n\n{}{shown}\n----\n", heard.notes.borrow()));
        }
        let here = "datasets-demo/harbour/";
        equals("notebook/values.txt", &seen.replace(here, ""));
    });
}

#[test]
fn rich_forms_read_as_expected() {
    in_harbour(|session, _| {
        text(session, "t = read('harbour.xlsx')\ns = assess(t)");
        let html = |session: &mut woodstate::notebook::Session<'_>, cell: &str| {
            session.run("Cell [1]", cell).unwrap().unwrap().html.unwrap()
        };
        let page = format!("{}\n{}\n", html(session, "s.where('max_water_content > 680')"), html(session, "t[0:3]"));
        equals("notebook/values.html", &page);
    });
}

#[test]
fn nothing_of_a_file_is_markup() {
    let folder = crate::support::program::Folder::of(&[(
        "a.csv",
        b"sample,taxon,mass_saturated [g],mass_oven_dry [g],note\n<b>x</b>,oak,5,1,\"<script>$a$</script>\"\n",
    )]);
    super::desk::in_folder(&folder.path(""), |session, _| {
        for cell in ["t = read('a.csv')\nt", "assess(t)", "check(t)", "t.note", "summary(assess(t), by='note')"] {
            let html = session.run("Cell [1]", cell).unwrap().unwrap().html.unwrap();
            assert!(!html.contains("<script") && !html.contains("<b>") && !html.contains('$'), "{html}");
        }
    });
}

#[test]
fn the_same_cells_show_the_same_bytes() {
    let all = || {
        in_harbour(|session, _| {
            text(session, "s = assess(read('harbour.xlsx'))");
            let cells = ["s", "summary(s, by='context')", "figure('density-water', s)", "profile(s, replicates=20)"];
            cells.map(|cell| session.run("Cell [1]", cell).unwrap())
        })
    };
    assert!(all() == all());
}
