//! What a person types between `study` and `check`, as data.

/// One edit in a text editor.
pub(super) enum Edit {
    /// Replaces `# ` at the beginning of all lines by nothing.
    AcceptAll,
    /// Takes `#? ` from a line of a part.
    Answer(&'static str, &'static str),
    /// Takes `#? ` from a line and writes what she knows in place of what is blank.
    Fill(&'static str, &'static str),
}

use Edit::{AcceptAll, Answer, Fill};

/// The messy German workbook.
pub(super) const BARGE: &[Edit] = &[
    AcceptAll,
    Answer("samples.columns", "\"Tiefe von\" = \"depth_from [mm]\""),
    Answer("samples.columns", "\"Tiefe bis [cm]\" = \"depth_to [mm]\""),
    Answer("samples.columns", "\"Auftrieb [g]\" = \"mass_displaced [g]\""),
    Answer("samples.words.taxon", "\"Eiche\" = \"Quercus, deciduous\""),
    Answer("samples.words.taxon", "\"Kiefer\" = \"Pinus sylvestris\""),
    Answer("samples.words.taxon", "\"Erle\" = \"Alnus glutinosa\""),
    Answer("samples.words.charring", "\"ja\" = \"partial\""),
    Answer("samples.words.charring", "\"leicht\" = \"surface\""),
    Answer("timbers.words.taxon", "\"Eiche\" = \"Quercus, deciduous\""),
    Answer("timbers.words.taxon", "\"Kiefer\" = \"Pinus sylvestris\""),
    Answer("timbers.words.taxon", "\"Erle\" = \"Alnus glutinosa\""),
    Answer("instruments", "balance = \"0.01 g\""),
    Fill("weighing_temperature = \"… ± 1 Cel\"", "weighing_temperature = \"18 ± 1 Cel\""),
    Answer("water", "weighing_salinity = \"0 g/kg\""),
    Fill("pore_salinity = \"… ± … g/kg\"", "pore_salinity = \"7.0 ± 0.5 g/kg\""),
];

/// The French text.
pub(super) const FRENCH: &[Edit] = &[
    AcceptAll,
    Answer("samples.columns", "\"Poids immergé\" = \"mass_immersed [g]\""),
    Answer("instruments", "balance = \"0.01 g\""),
    Answer("water", "weighing_salinity = \"0 g/kg\""),
];

/// The text after these edits; an edit that finds no line is a failure.
#[track_caller]
pub(super) fn edited(text: &str, edits: &[Edit]) -> String {
    edits.iter().fold(text.to_owned(), |text, edit| match edit {
        AcceptAll => text.lines().map(|line| format!("{}\n", line.strip_prefix("# ").unwrap_or(line))).collect(),
        Answer(part, line) => {
            let begin = text.find(&format!("\n[{part}]\n")).unwrap_or_else(|| panic!("no [{part}]"));
            let (before, after) = text.split_at(begin);
            assert!(after.contains(&format!("#? {line}")), "no line {line}");
            format!("{before}{}", after.replacen(&format!("#? {line}"), line, 1))
        }
        Fill(blank, line) => {
            assert!(text.contains(&format!("#? {blank}")), "no line {blank}");
            text.replacen(&format!("#? {blank}"), line, 1)
        }
    })
}
