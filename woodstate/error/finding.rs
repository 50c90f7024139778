//! Findings: what is wrong or doubtful in a file, with its place and its cure.

use std::fmt;

use schemars::JsonSchema;
use serde::Serialize;

use super::story::codes;

/// Where something stands in a file, counted as a person counts there.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Place {
    /// File as it was named by the person.
    pub file: String,
    /// Sheet of a workbook.
    pub sheet: Option<String>,
    /// Row of the sheet or line of the text file, counted from 1.
    pub row: Option<usize>,
    /// Cell such as `D17`.
    pub cell: Option<String>,
    /// Column as it is called in the file.
    pub column: Option<String>,
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.file)?;
        match (&self.sheet, &self.cell, self.row) {
            (Some(sheet), Some(cell), _) => write!(f, " {sheet}!{cell}")?,
            (Some(sheet), None, Some(row)) => write!(f, " {sheet}, row {row}")?,
            (Some(sheet), None, None) => write!(f, " {sheet}")?,
            (None, Some(cell), Some(row)) => write!(f, ":{row} ({cell})")?,
            (None, None, Some(row)) => write!(f, ":{row}")?,
            (None, _, None) => {}
        }
        match &self.column {
            Some(column) => write!(f, ", column \"{column}\""),
            None => Ok(()),
        }
    }
}

/// What a finding does to the batch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// Said, and nothing is lost.
    Note,
    /// A value or a quantity is not used; the row goes on without it.
    Warning,
    /// A row or a column is not assessed.
    Error,
}

/// One thing found in a file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Finding {
    /// The word of the finding, such as `mass-missing`.
    #[schemars(with = "String")]
    pub code: FindingCode,
    /// What it does to the batch.
    pub severity: Severity,
    /// Where.
    pub place: Place,
    /// Name of the sample, where the finding is about one.
    pub sample: Option<String>,
    /// What was found there, as it stands in the file.
    pub value: Option<String>,
    /// What is wrong, in one sentence.
    pub text: String,
    /// What is allowed there.
    pub allowed: Option<String>,
    /// What to do.
    pub cure: String,
    /// How many places share this finding (1 unless it was grouped).
    pub count: usize,
}

/// Written as its word.
impl Serialize for FindingCode {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.word())
    }
}

impl Finding {
    /// A finding with the cure of its code's story.
    #[must_use]
    pub fn new(code: FindingCode, severity: Severity, place: Place, text: impl Into<String>) -> Self {
        Self {
            code,
            severity,
            place,
            sample: None,
            value: None,
            text: text.into(),
            allowed: None,
            cure: code.story().cure.to_owned(),
            count: 1,
        }
    }

    /// The same finding about a sample.
    #[must_use]
    pub fn of_sample(mut self, sample: impl Into<String>) -> Self {
        self.sample = Some(sample.into());
        self
    }

    /// The same finding with the value that was found.
    #[must_use]
    pub fn found(mut self, value: impl Into<String>) -> Self {
        self.value = Some(value.into());
        self
    }

    /// The same finding with what is allowed.
    #[must_use]
    pub fn allowing(mut self, allowed: impl Into<String>) -> Self {
        self.allowed = Some(allowed.into());
        self
    }

    /// The same finding with a cure of its own, often a line to type.
    #[must_use]
    pub fn cured_by(mut self, cure: impl Into<String>) -> Self {
        self.cure = cure.into();
        self
    }
}

codes! {
    /// The word of a finding.
    #[allow(clippy::doc_markdown, reason = "OK because a story is shown as it stands")]
    FindingCode:
    TableEmpty "table-empty" "no rows below the header"
        means "A table has a header and no row below it."
        so "Nothing can be read from it; samples are needed, timbers and log may stay empty."
        because "The form was not filled in yet, the wrong sheet or header row was named, or the file was saved empty."
        cure "fill in its rows; if it has some, name the sheet with --sheet and the header row with --header-row"
    ColumnUnknown "column-unknown" "column is not a known one"
        means "A column has a name that woodstate does not know."
        so "Its cells travel along untouched and are not used in any formula."
        because "A column of your own, a name in another language, or a spelling slip."
        cure "nothing to do for a column of your own; otherwise map it under [samples.columns] in woodstate.toml"
    ColumnMissing "column-missing" "a column of masses is missing"
        means "The samples have no column for one of the two masses, and a column with a similar name."
        so "No piece has that mass, and nothing that needs it is computed."
        because "A spelling slip in the header."
        cure "correct the header, or map it under [samples.columns] in woodstate.toml"
    ColumnTwice "column-twice" "two columns have the same name"
        means "Two columns of one table mean the same thing."
        so "Neither is used, because nobody can say which one is right."
        because "A column was copied, or two headers were mapped to one name."
        cure "rename or delete one of the two"
    UnitMissing "unit-missing" "header has no unit"
        means "A measured column has no unit in its header."
        so "The column is not used: a guessed unit would change numbers without a sign."
        because "The unit stands elsewhere in the sheet or only in somebody's head."
        cure "write the unit behind the name, as in \"mass_oven_dry [g]\""
    UnitUnknown "unit-unknown" "unit is not understood"
        means "The unit in a header is unknown or does not fit the quantity."
        so "The column is not used."
        because "A spelling woodstate does not know, or a unit of another quantity."
        cure "write one of the allowed units in square brackets"
    UnitOverridden "unit-overridden" "unit comes from the study file"
        means "The study file gives a column another unit than its header does."
        so "The unit of the study file is used."
        because "The header is wrong and the study file mends it."
        cure "nothing to do if that is what you meant"
    UnitReadAs "unit-read-as" "unit is read as another"
        means "A unit such as psu, ppt or ppm is not one of mass over mass, and is read as one."
        so "The numbers are used as they stand: 35 psu as 35 g/kg, which is right within 1 % (from memory)."
        because "Instruments for sea water show practical salinity; ppt and ppm do not say of what."
        cure "nothing to do if that is what you meant; otherwise convert the numbers and write their unit"
    BasisMissing "basis-missing" "water content without its basis"
        means "A water content does not say whether it refers to dry mass or to total mass."
        so "The column is not used: 90 % on total mass is 900 % on dry mass."
        because "Reports often leave the basis out."
        cure "call the column water_content_dry_basis or water_content_wet_basis"
    NumberUnreadable "number-unreadable" "cell is not a number"
        means "A cell of a measured column holds something that is not a number."
        so "The row is not assessed."
        because "A word for \"not measured\", a unit inside the cell, a slip, or another decimal mark."
        cure "write the number, or list the word under missing in woodstate.toml"
    NumberAmbiguous "number-ambiguous" "number can be read in two ways"
        means "A number such as 1.234 may be one and a bit, or one thousand two hundred and thirty-four."
        so "The row is not assessed: the two readings differ a thousandfold."
        because "No other number in the file shows which decimal mark is used."
        cure "say which mark it is with --decimal . or --decimal ,"
    ValueBelowLimit "value-below-limit" "value is given as \"less than\""
        means "A cell such as <0.1 says only that the value lies below a limit."
        so "The value is unknown in every formula, and the row is partial."
        because "The measurement was below what the method can see."
        cure "nothing to do; the cell is kept as it stands"
    ValueOutOfRange "value-out-of-range" "value is impossible"
        means "A number lies outside what this column can be."
        so "The value is not used; quantities that need it are not computed and the row is partial."
        because "A slip of the decimal mark, swapped columns or a wrong unit."
        cure "check the cell and the unit of its column"
    WordUnknown "word-unknown" "word is not one of the list"
        means "A column with a fixed list of words holds another word."
        so "The cell counts as unknown."
        because "A spelling slip or a word in another language."
        cure "use a word of the list, or map yours under [samples.words] in woodstate.toml"
    DateUnreadable "date-unreadable" "date is not year-month-day"
        means "A date is not written as year-month-day."
        so "The date is kept as text and not used."
        because "01/05/2024 means two different days in two countries."
        cure "write the day as year-month-day, such as 2024-05-31"
    CellError "cell-error" "cell holds an error of the spreadsheet"
        means "A cell holds an error such as #DIV/0!."
        so "In a measured column or a name the row is not assessed: an error is never taken as a missing value. In any other column the value is unknown and the row is partial."
        because "A formula of the sheet failed."
        cure "mend the formula, or clear the cell if the value is unknown"
    FormulaNotCalculated "formula-not-calculated" "formula was never calculated"
        means "A cell holds a formula without a stored result."
        so "In a measured column or a name the row is not assessed; in any other column the value is unknown and the row is partial."
        because "The file was written by a program and never opened in a spreadsheet program."
        cure "open the file in a spreadsheet program and save it"
    CellsMerged "cells-merged" "cells are merged in the data"
        means "Cells below the header are merged into one."
        so "Only the top left cell has the value. In a measured column or a name the rows of the others are not assessed; in any other column their value is unknown and they are partial."
        because "The sheet was laid out for the eye."
        cure "unmerge the cells and fill in each row"
    PercentFormat "percent-format" "cell is shown as percent"
        means "Cells are shown as percent, so that 0.25 looks like 25 %."
        so "The column is in another unit than %, so the number is taken as stored."
        because "A number format of the sheet."
        cure "check one value; give the column the unit % if that is what it is"
    NumberAsText "number-as-text" "numbers are stored as text"
        means "A workbook holds numbers as text."
        so "They are read with the decimal mark that was found or given."
        because "The sheet was filled by a program or with another decimal mark."
        cure "nothing to do if the decimal mark is right"
    RowRagged "row-ragged" "row has more cells than the header"
        means "A line has more cells than the header has columns."
        so "The row is not assessed: its cells may stand under the wrong header."
        because "A delimiter inside an unquoted text, often a decimal comma in a comma-separated file."
        cure "quote the text, or save the file with ; between cells"
    SampleMissing "sample-missing" "row has no sample name"
        means "A row has measurements and no name."
        so "The row is listed and not assessed."
        because "The name was left out, or one part of a composed name is empty."
        cure "fill in the name"
    SampleTwice "sample-twice" "sample name is used twice"
        means "Two rows have the same name and are not marked as repeats of one piece."
        so "None of them is assessed, because nobody can say which one is right."
        because "A row was copied, or several increments carry the name of their core."
        cure "rename one, number repeats in the column replicate, or compose the name: sample = [\"core_id\", \"depth_from\"] under [samples] in woodstate.toml"
    SummaryRow "summary-row" "row looks like a summary of others"
        means "The name of a row is a word such as mean, average, sum or total."
        so "The row is assessed and counted like a piece, which it may not be."
        because "Means or sums were written below the readings."
        cure "delete the row if it is no piece; otherwise give it another name"
    PairImpossible "pair-impossible" "two masses contradict each other"
        means "A piece is heavier dry than saturated, or heavier under water than in air."
        so "The row is not assessed, because nobody can say which of the two is wrong."
        because "Cells were swapped, or one reading has another unit."
        cure "check both cells"
    OutlineUnreadable "outline-unreadable" "outline of a section cannot be used"
        means "The corners in section_outline are no outline of a section."
        so "The section of the timber is unknown: no shares of the section are computed."
        because "Corners are not pairs of numbers, there are fewer than three, or the outline crosses itself."
        cure "write corners in mm, in their order round the section, with semicolons between: 0 0; 300 0; 280 200; 20 200"
    DepthOrder "depth-order" "depth interval is empty or reversed"
        means "The interval ends where it begins, or before."
        so "The depth is not used; the piece is assessed without it."
        because "Cells were swapped or copied."
        cure "check both cells"
    MassMissing "mass-missing" "a mass is missing"
        means "A reading that the usual route needs is empty."
        so "Another route is taken if the other readings allow one; otherwise the row is not assessed."
        because "The piece was not dried, or the reading was not written down."
        cure "fill in the mass, or leave it if the piece is not to be dried"
    TaxonUnknown "taxon-unknown" "taxon is not in the list"
        means "The wood is named in a way the list of taxa does not have."
        so "Water content and densities are computed; nothing that needs sound wood of the taxon is."
        because "A spelling slip, a word in another language, or a taxon without an entry."
        cure "use the scientific name, map your word under [samples.words.taxon], or give a reference under [references] in woodstate.toml"
    TimberUnknown "timber-unknown" "timber is not in the timbers table"
        means "A sample belongs to a timber that the timbers table does not list."
        so "The sample is assessed; what the timbers table would say of the timber is unknown."
        because "A spelling slip, or the table is not complete."
        cure "add the timber or correct its name"
    TimberDisagrees "timber-disagrees" "rows disagree about a timber"
        means "Rows of one timber say different things about the timber."
        so "The value counts as unknown for the timber; each piece keeps its own."
        because "A slip, or two timbers share a name."
        cure "make the rows agree, or rename one timber"
    TimberTwice "timber-twice" "timber is listed twice"
        means "The timbers table has two rows for one timber, or a row without a name."
        so "The first row of a timber is used; a row without a name belongs to nothing."
        because "A row was copied, or a name was left out."
        cure "keep one row a timber, and name it"
    UncertaintyInvalid "uncertainty-invalid" "uncertainty is not a positive number"
        means "A standard uncertainty is negative or unreadable."
        so "The uncertainty of that value is unknown."
        because "A slip, or a range was written instead."
        cure "write one standard uncertainty, in the unit of its header"
}
