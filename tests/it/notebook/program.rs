//! `woodstate run`.

use crate::support::program::Folder;

#[test]
fn a_script_shows_on_standard_output_and_tells_on_standard_error() {
    let folder = Folder::with_demo();
    let ended = folder.run("run datasets-demo/harbour/look.star");
    assert_eq!(ended.code, 0, "{}", ended.err);
    assert!(ended.out.contains("largest: 711 ± 11 % of 158 pieces"), "{}", ended.out);
    assert!(ended.err.contains("158 pieces of 28 timbers") && !ended.err.contains("largest"));
    let quiet = folder.run("run --quiet datasets-demo/harbour/look.star");
    assert_eq!((quiet.out, quiet.err.as_str()), (ended.out, ""));
}

#[test]
fn a_script_ends_with_the_code_of_its_fault() {
    let folder = Folder::with_demo();
    let code = |text: &str| {
        folder.put("datasets-demo/harbour/a.star", text.as_bytes());
        let ended = folder.run("run datasets-demo/harbour/a.star");
        (ended.code, ended.err)
    };
    let (failed, said) = code("x = 1\ny = x + foo\n");
    assert_eq!(failed, 1);
    assert_eq!(
        said,
        "name: There is no name foo.\ndatasets-demo/harbour/a.star, line 2:\n  y = x + foo\n          ^^^\n  \
                      give it a value in an earlier cell: foo = ...; help() lists what there is\n"
    );
    assert_eq!(code("read('no.csv')").0, 5);
    assert_eq!(code("read('../messy/barge.xlsx')").0, 5);
    assert_eq!(folder.run("run datasets-demo/harbour/none.star").code, 5);
    folder.put("datasets-demo/harbour/a.star", b"len(read('../messy/barge.xlsx'))");
    assert_eq!(folder.run("run --anywhere datasets-demo/harbour/a.star").out, "40\n");
}
