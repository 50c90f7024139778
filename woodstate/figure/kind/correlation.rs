//! `correlation`: how measured quantities go together, as a map with numbers.

use crate::error::Result;
use crate::figure::{
    Bars, Datum, Figure, FigureAxis, FigureChoice, FigureData, Frame, Key, KeyMark, Layer, Paint, Panel, Woods, real,
};
use crate::numeric::rank_correlation;
use crate::study::{Assessment, known_numbers};
use crate::table::TableKind;

use super::caption::joined;
use super::gather::{Gathered, Wanted, missing};

/// Pairs that make a correlation.
const FEWEST: usize = 5;

/// Quantities of a map at most, where nobody chooses.
const MOST: usize = 10;

/// Groups of columns that are measured on the wood, apart from its masses and sizes, which say how large the piece is.
const GROUPS: [&str; 3] = ["composition", "chemistry", "mechanics"];

/// Results that come before those columns.
const RESULTS: [&str; 4] = ["max_water_content", "basic_density", "shrinkage_volumetric", "shrinkage_tangential"];

/// Spearman's correlations of measured quantities, with the number of pieces of each pair.
///
/// Without values they are water content, density, shrinkage, and the columns of composition, chemistry and mechanics that at
/// least five pieces have. Pairs with fewer than five pieces have no number.
///
/// # Errors
/// [`ErrorKind::Content`](crate::error::ErrorKind::Content) where fewer than two such quantities are known, and what
/// [`piece_rows`](crate::study::piece_rows) refuses.
pub fn correlation(assessment: &Assessment, choice: &FigureChoice) -> Result<Figure> {
    let usual: Vec<String> = usual(assessment);
    let values: Vec<&str> =
        if choice.value.is_empty() { &usual } else { &choice.value }.iter().map(String::as_str).collect();
    let n_values = values.len();
    let wanted = Wanted { kind: "correlation", values, by: &[] };
    let choice = FigureChoice { by: Vec::new(), panels: None, ..choice.clone() };
    let gathered = Gathered::of(assessment, &choice, &wanted)?;
    if n_values < 2 {
        let what = format!("two quantities that at least {FEWEST} pieces have; name them with --value");
        return Err(missing(assessment, &wanted, &what));
    }
    let rows = &gathered.rows.rows;
    let columns = &gathered.rows.columns;
    let pair = |a: usize, b: usize| -> Vec<[f64; 2]> {
        rows.iter().filter_map(|row| Some([row.values[a]?.value, row.values[b]?.value])).collect()
    };
    let (mut layers, mut data) = (Vec::new(), Vec::new());
    // The half below the diagonal: the other one says the same.
    for row in 1..n_values {
        for column in 0..row {
            let pairs = pair(row, column);
            let r = rank_correlation(&pairs).filter(|_| pairs.len() >= FEWEST);
            let label = r.map_or_else(|| "\u{2013}".to_owned(), |r| crate::figure::tick::written(r, 2));
            let paint = r.map_or(Paint::Empty, Paint::Diverging);
            let labels = [label, format!("{}", pairs.len())];
            layers.push(Layer::Cell { paint, at: [real(column), real(row)], labels });
            let name = |place: usize| Datum::text(Some(&columns[place].name));
            data.push(vec![name(row), name(column), Datum::number(real(pairs.len())), Datum::number(r)]);
        }
    }
    let numbered = |place: usize| format!("{}  {}", columns[place].title, place + 1);
    let names: Vec<String> = (0..n_values).map(numbered).collect();
    let mut x = FigureAxis::of_names((1..n_values).map(|place| format!("{place}")).collect(), Vec::new(), "");
    x.is_turned = false;
    let legend = [(-1.0, "\u{2212}1"), (-0.5, "\u{2212}0.5"), (0.0, "0"), (0.5, "0.5"), (1.0, "1")];
    let key = |(place, name): (f64, &str)| Key { name: name.to_owned(), mark: KeyMark::Field(Paint::Diverging(place)) };
    let all: Vec<usize> = (0..rows.len()).collect();
    let told = data.iter().filter(|cells| cells[3] != Datum::Unknown).count();
    let caption = joined([
        "Spearman's correlation of ranks between measured quantities; below each number that of the pieces with both.",
        &format!(
            "Columns carry the numbers of the rows. A dash: fewer than {FEWEST} pieces, or one of the two never changes."
        ),
        &gathered.counts(&all),
        "Pieces of one timber are not independent, so the correlations look surer than they are. Water content and density of a \
         saturated piece say the same.",
        &Bars::Absent.sentence(),
    ]);
    Ok(Figure {
        name: wanted.kind.to_owned(),
        title: "Correlation of measured quantities".to_owned(),
        caption,
        alternative: format!("Map of {told} correlations between {n_values} quantities; all numbers stand in the map."),
        bars: Bars::Absent,
        panels: vec![Panel {
            title: None,
            x,
            y: FigureAxis::of_names(names, Vec::new(), ""),
            layers,
            frame: Frame::Square,
            height: 0.8,
        }],
        columns: 1,
        legend: legend.map(key).to_vec(),
        woods: Woods::Nowhere,
        data: FigureData {
            columns: ["quantity", "with", "pieces", "Spearman correlation [1]"].map(str::to_owned).to_vec(),
            rows: data,
        },
    })
}

fn usual(assessment: &Assessment) -> Vec<String> {
    let known = known_numbers(assessment);
    // The pin itself is no property of the wood.
    let is_known = |name: &str| name != "pin_diameter" && known.iter().any(|(other, n)| other == name && *n >= FEWEST);
    let columns =
        TableKind::Samples.columns().filter(|column| GROUPS.contains(&column.group)).map(|column| column.name);
    let wanted = RESULTS.into_iter().chain(columns).filter(|name| is_known(name));
    wanted.take(MOST).map(str::to_owned).collect()
}
