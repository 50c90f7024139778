//! `density-water`: basic density against maximum water content, beside the line of saturated wood.

use crate::error::Result;
use crate::figure::markup::axis_title;
use crate::figure::{
    Bars, Datum, Figure, FigureAxis, FigureChoice, FigureData, Frame, Key, KeyMark, Layer, Paint, Panel, Stamp, Ticks,
    Woods,
};
use crate::study::{Assessment, PieceRow, RowValue, SaturatedLine, saturated_line};

use super::caption::{joined, left_out, squares, without_bars};
use super::gather::{Gathered, Stamps, Wanted, missing};

/// Routes to a density that rest on the water content, or on the readings that the water content was computed from.
const COMPUTED: [&str; 3] = ["saturated_dried", "saturated_undried", "from_density"];

/// Basic density against maximum water content, each piece with its bars, and the line on which saturated wood lies.
///
/// Pieces of which one of the two was computed from the other lie on the line whatever they are; they are left out and
/// counted. Groups are those of `by`, without it those of the taxon.
///
/// # Errors
/// [`ErrorKind::Content`](crate::error::ErrorKind::Content) where no piece has both numbers from readings of their own, and
/// what [`piece_rows`](crate::study::piece_rows) refuses.
pub fn density_water(assessment: &Assessment, choice: &FigureChoice) -> Result<Figure> {
    let wanted = Wanted { kind: "density-water", values: vec!["max_water_content", "basic_density"], by: &["taxon"] };
    let gathered = Gathered::of(assessment, choice, &wanted)?;
    let pair = |place: &usize| both(gathered.row(*place));
    let all: Vec<usize> = (0..gathered.rows.rows.len()).collect();
    let known: Vec<usize> = all.iter().copied().filter(|place| pair(place).is_some()).collect();
    let is_own =
        |place: &usize| pair(place).is_some_and(|[water, density]| !is_computed(&water) && !is_computed(&density));
    let shown: Vec<usize> = known.iter().copied().filter(is_own).collect();
    if shown.is_empty() {
        let what = "max_water_content (from mass_saturated and mass_oven_dry) and basic_density (from mass_oven_dry and a \
                    volume: volume_saturated, mass_immersed, mass_displaced or sizes), each from readings of its own";
        return Err(missing(assessment, &wanted, what));
    }
    let pairs: Vec<[RowValue; 2]> = shown.iter().filter_map(pair).collect();
    let of = |which: usize| pairs.iter().map(|pair| pair[which].value).collect::<Vec<_>>();
    let bars = |which: usize| pairs.iter().map(|pair| bar(&pair[which])).collect::<Vec<_>>();
    let x = FigureAxis::room_for_bars(&of(0), &bars(0), true);
    let y = FigureAxis::room_for_bars(&of(1), &bars(1), true);
    let line = saturated_line(assessment, [y[0].max(20.0), 1600.0])?;
    let stamps = gathered.stamps(&shown);
    let panels = gathered
        .panels
        .iter()
        .map(|(title, places)| {
            let places: Vec<usize> = places.iter().copied().filter(|place| shown.contains(place)).collect();
            panel(&gathered, title.clone(), &places, &stamps, &line, [x, y])
        })
        .collect();
    let mut legend = stamps.keys(KeyMark::Point);
    legend.push(Key { name: "saturated wood".to_owned(), mark: KeyMark::Line(Stamp::Quiet, line.band.is_some()) });
    let all_bars: Vec<Option<[f64; 2]>> = bars(0).into_iter().chain(bars(1)).collect();
    let bars = match all_bars.iter().any(Option::is_some) {
        true => Bars::StandardUncertainty,
        false => Bars::Absent,
    };
    let computed = known.len() - shown.len();
    let theory = theory(&line);
    let caption = joined([
        "Basic density against maximum water content.",
        &gathered.counts(&shown),
        &bars.sentence(),
        &without_bars(&all_bars),
        &theory,
        &stamps.sentence(),
        &left_out(&[
            (computed, "of which one number was computed from the other, so that they lie on the line by computation"),
            (all.len() - known.len(), "of which one of the two is unknown"),
        ]),
        squares(legend.iter().map(|key| key.name.as_str())),
    ]);
    let [low, high] = [of(0), of(1)].map(|values| {
        let ends = values.iter().fold([f64::INFINITY, f64::NEG_INFINITY], |[a, b], v| [a.min(*v), b.max(*v)]);
        format!("{:.0} to {:.0}", ends[0], ends[1])
    });
    let alternative = format!(
        "Scatter plot of {}. Maximum water content runs from {low} %, basic density from {high} kg/m3. Beside them a curve that \
         falls steeply and then less: saturated wood.",
        super::caption::counted(shown.len(), "piece")
    );
    let figure = Figure {
        name: wanted.kind.to_owned(),
        title: "Basic density against maximum water content".to_owned(),
        caption,
        alternative,
        bars,
        panels,
        columns: 4,
        legend,
        woods: Woods::Legend.only_if(gathered.has_wood_names(choice)),
        data: data(&gathered, &known, &is_own),
    };
    Ok(figure.recounted())
}

fn both(row: &PieceRow) -> Option<[RowValue; 2]> {
    Some([row.values[0]?, row.values[1]?])
}

fn is_computed(value: &RowValue) -> bool {
    value.route.is_some_and(|route| COMPUTED.contains(&route))
}

fn bar(value: &RowValue) -> Option<[f64; 2]> {
    value.u.map(|u| [value.value - u, value.value + u])
}

fn panel(
    gathered: &Gathered,
    title: Option<String>,
    places: &[usize],
    stamps: &Stamps,
    line: &SaturatedLine,
    [x, y]: [[f64; 2]; 2],
) -> Panel {
    let mut layers = Vec::new();
    if let Some(band) = &line.band {
        layers.push(Layer::SideBand {
            paint: Paint::PaleGrey,
            y: line.basic_density.clone(),
            low: band.iter().map(|ends| ends[0]).collect(),
            high: band.iter().map(|ends| ends[1]).collect(),
        });
    }
    layers.push(Layer::Line { stamp: Stamp::Quiet, x: line.max_water_content.clone(), y: line.basic_density.clone() });
    for stamp in stamps.all() {
        let of_stamp = places.iter().filter(|place| stamps.of(gathered.group(**place)) == stamp);
        let pairs: Vec<[RowValue; 2]> = of_stamp.filter_map(|place| both(gathered.row(*place))).collect();
        if !pairs.is_empty() {
            layers.push(Layer::Points {
                stamp,
                x: pairs.iter().map(|pair| pair[0].value).collect(),
                y: pairs.iter().map(|pair| pair[1].value).collect(),
                x_bars: pairs.iter().map(|pair| bar(&pair[0])).collect(),
                y_bars: pairs.iter().map(|pair| bar(&pair[1])).collect(),
            });
        }
    }
    let axis = |which: usize, range| {
        let column = &gathered.rows.columns[which];
        FigureAxis { ticks: Ticks::Numbers, ..FigureAxis::of(axis_title(&column.title, &column.unit), range) }
    };
    Panel { title, x: axis(0, x), y: axis(1, y), layers, frame: Frame::Axes, height: 1.0 }
}

fn theory(line: &SaturatedLine) -> String {
    let (wall, u) = line.cell_wall_density;
    let band = match u {
        Some(u) => format!(
            " ± {u:.0} (one standard uncertainty; the band has a coverage of {} %)",
            crate::figure::spec::percent(line.coverage)
        ),
        None => " (its uncertainty is unknown, so there is no band)".to_owned(),
    };
    format!(
        "Line: saturated wood with a cell wall of {wall:.0}{band} kg/m3 and water of {:.0} kg/m3 in its pores.",
        line.water_density
    )
}

fn data(gathered: &Gathered, known: &[usize], is_shown: &dyn Fn(&usize) -> bool) -> FigureData {
    let heads = [
        "sample",
        "timber",
        "group",
        "shown",
        "max_water_content [%]",
        "u(max_water_content) [%]",
        "route of max_water_content",
        "basic_density [kg/m3]",
        "u(basic_density) [kg/m3]",
        "route of basic_density",
    ];
    let row = |place: &usize| {
        let row = gathered.row(*place);
        let [water, density] = both(row)?;
        let cells = |value: &RowValue| [Datum::number(value.value), Datum::number(value.u), Datum::text(value.route)];
        let shown = if is_shown(place) { "yes" } else { "no: one computed from the other" };
        let mut all = vec![
            Datum::text(row.sample.as_deref()),
            Datum::text(row.timber.as_deref()),
            Datum::text(Some(gathered.group(*place))),
            Datum::text(Some(shown)),
        ];
        all.extend(cells(&water));
        all.extend(cells(&density));
        Some(all)
    };
    FigureData { columns: heads.map(str::to_owned).to_vec(), rows: known.iter().filter_map(row).collect() }
}
