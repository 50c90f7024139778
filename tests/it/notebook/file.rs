//! Files: below one folder, replaced day after day, noticed when they change.

use super::desk::{fault, in_folder, text};
use crate::support::program::Folder;

#[test]
fn restart_and_run_all_works_every_day() {
    let folder = Folder::with_demo();
    let cells = "s = assess(read('harbour.xlsx'))\nsave(s, 'state.csv', 'state.json')\n\
                 g = figure('density-water', s)\nsave(g, 'out/density.svg', 'out/density.png', dpi=72)";
    let mut made = Vec::new();
    for _ in 0..2 {
        in_folder(&folder.path("datasets-demo/harbour"), |session, _| text(session, cells));
        made.push(
            ["state.csv", "state.json", "state.csv.datapackage.json", "out/density.svg", "out/density.png"]
                .map(|name| folder.bytes(&format!("datasets-demo/harbour/{name}"))),
        );
    }
    assert!(made[0] == made[1], "the same bytes each day");
    folder.put("datasets-demo/harbour/state.csv", b"mine");
    let refused = in_folder(&folder.path("datasets-demo/harbour"), |session, _| fault(session, cells));
    assert_eq!(
        (refused.kind, refused.cure.as_deref()),
        ("file", Some("name another place with out=, or replace the file with force=True"))
    );
    assert_eq!(folder.bytes("datasets-demo/harbour/state.csv"), b"mine");
}

#[test]
fn a_file_that_changed_is_noticed_once_a_cell() {
    let folder = Folder::with_demo();
    in_folder(&folder.path("datasets-demo/strength"), |session, heard| {
        text(session, "t = read('mechanics.csv')\ns = assess(t)");
        assert!(!heard.notes.borrow().contains("changed"));
        let mut bytes = folder.bytes("datasets-demo/strength/mechanics.csv");
        bytes.push(b'\n');
        folder.put("datasets-demo/strength/mechanics.csv", &bytes);
        text(session, "check(t)\ncheck(t)");
        assert_eq!(heard.notes.borrow().matches("mechanics.csv changed since it was read").count(), 1);
    });
}

#[test]
fn the_notebooks_read_copies_of_the_demonstration() {
    let copies = [
        ("harbour.xlsx", "harbour/harbour.xlsx"),
        ("woodstate.toml", "harbour/woodstate.toml"),
        ("mechanics.csv", "strength/mechanics.csv"),
        ("mechanics.toml", "strength/woodstate.toml"),
    ];
    for (copy, demo) in copies {
        let read = |path: String| std::fs::read(path).unwrap();
        assert!(read(format!("examples/notebooks/{copy}")) == read(format!("datasets-demo/{demo}")), "{copy}");
    }
}

#[test]
fn nothing_outside_the_folder_is_reached() {
    let folder = Folder::with_demo();
    folder.put("datasets-demo/harbour/notes/a.txt", b"");
    in_folder(&folder.path("datasets-demo/harbour/notes"), |session, _| {
        // The nearest folder with a study file is the root.
        text(session, "t = read('../harbour.xlsx')");
        for outside in ["../../messy/barge.xlsx", "/etc/hostname", "../../../x.csv"] {
            let fault = fault(session, &format!("read('{outside}')"));
            assert!(fault.text.contains("cells reach no other place"), "{fault}");
        }
        let fault = fault(session, "save(assess(t), '../../state.csv')");
        assert!(fault.text.contains("cells reach no other place"), "{fault}");
    });
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink("/etc", folder.path("datasets-demo/harbour/notes/link")).unwrap();
        in_folder(&folder.path("datasets-demo/harbour/notes"), |session, _| {
            assert!(fault(session, "read('link/hostname')").text.contains("cells reach no other place"));
        });
    }
}

#[test]
fn a_report_and_a_starter_are_written() {
    let folder = Folder::with_demo();
    in_folder(&folder.path("datasets-demo/strength"), |session, heard| {
        let shown = text(session, "report(read('mechanics.csv'), 'out')");
        assert!(shown.contains("not known of all"), "{shown}");
        assert!(heard.notes.borrow().contains("Wrote out/report.html and "));
        text(session, "study('mechanics.csv', out='starter.toml')");
        assert!(folder.path("datasets-demo/strength/out/report.html").is_file());
        assert!(folder.path("datasets-demo/strength/starter.toml").is_file());
    });
}
