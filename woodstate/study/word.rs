//! Every word of woodstate that has a story.

use crate::error::{
    BathCautionCode, CautionCode, CourseCautionCode, CurveCautionCode, DepthCautionCode, FindingCode, LiftCautionCode,
    Severity, Story,
};
use crate::profile::DepthModel;
use crate::quantity::{Evidence, Quantity};
use crate::reference::{ClassBand, Reference, Scheme, Source};
use crate::state::{Route, Status};
use crate::strength::{ModelChoice, ModelSpec};
use crate::table::TableKind;

use super::treatment_word::{Told, treatment_stories, treatment_words};

/// The commands and what each is for.
const COMMANDS: [(&str, &str); 19] = [
    (
        "advise",
        "Judges routes of treatment for each timber by what was measured, by what authors say and by the laboratory's own limits: \
         suited, possible, doubtful or excluded, each with its reasons, sources and evidence; rim and core apart; what to measure \
         next and which verdict it would change; what is done before any treatment; where sources do not agree; dangers. The \
         conservator decides. The laboratory's limits stand under [laboratory] in the study file.",
    ),
    (
        "assess",
        "Reads the measurements of a batch and gives, for every piece and every timber, maximum water content, \
                densities, losses, shrinkage and a degradation class, each with its uncertainty and its cautions.",
    ),
    (
        "bath",
        "mix says what to weigh for a tank, where the water in the wood counts, and what the wood will hold; wash how many baths of \
         clean water, and the least of chelating agent and base; time how long diffusion takes, as an interval; freeze whether ice can \
         dry at the pressure of a chamber. What is stated stands under [bath] in the study file or is typed. Nothing here has a usual \
         value where nothing is published: it asks.",
    ),
    (
        "check",
        "Reads a batch and says what was found in its files, each with its place and its cure; computes nothing \
               that is shown.",
    ),
    (
        "explain",
        "Tells the long story of a word: finding, caution, quantity, column, route, status, severity, scheme, evidence, source or command.",
    ),
    (
        "figure",
        "Draws a figure of a batch as SVG, PNG or PDF, in the widths of journals, with its caption, a description for those who \
         do not see it, and the numbers behind it; --list says which kinds there are and what each needs.",
    ),
    (
        "fit",
        "Fits the strength of tested pieces against their state: a curve with the uncertainty of its parameters, bands for the \
         mean and for a new piece, models compared by AICc, groups compared, and a sentence on what it means for the wood. \
         Charred, bored, treated and dried pieces are left out and listed. With --relative strength is a share of that of \
         green sound wood.",
    ),
    (
        "follow",
        "Follows a treatment by its log: fits the diffusivity of each weighed timber through all baths, and of a washing tank \
         through all its changes of water; says where each timber stands on average and in the centre, and when it will reach \
         the target, with an interval; looks for timbers that lag, baths that lose volume, wrong additions and sugar that \
         ferments; judges a washing curve by your criterion. Afterwards: shrinkage, and anti-shrink efficiency against the \
         control named in control_of. What is asked stands under [follow] in the study file; nothing there has a default.",
    ),
    (
        "kernel",
        "Lets Jupyter notebooks use woodstate: install says where the kernel is, start is what Jupyter runs, remove takes it \
         away. In a cell a person reads a batch, looks at it, fits, draws and writes the report; help() is the tour.",
    ),
    (
        "lift",
        "The question that decides a recovery: what a timber weighs under water, breaking the surface and in the air, the stresses \
         under each way of supporting it, the margin against breaking with its probability, and where slings go. Timbers of a file \
         stand in the order of danger; or the sizes of one are typed. A screening estimate for the talk between a conservator and a \
         competent lifting person, no lifting plan: where the strength is unknown or the margin is not met, the answer is support \
         along the full length. No factor of safety has been published for waterlogged timber, so the required margin is yours. What is stated stands \
         under [lift] in the study file or is typed.",
    ),
    (
        "profile",
        "Looks at each timber in depth: a curve through the increments of its cores, each taken as the mean over its thickness; \
         the depth at which the soft rim ends, with its interval and with the one that the increments themselves allow; what is \
         left of the section inside it; the state of rim and core apart; how cores differ.",
    ),
    (
        "report",
        "Writes a report for the files of a museum into a folder: report.html, one page that opens without a network; \
         sheets.html, a decision sheet for each timber, to be printed and signed; the tables as workbook and delimited text; \
         report.json. What is urgent, how the site is divided and which curve of strength is fitted stands under [report] in \
         the study file. The date is that of --date, of the study file or of SOURCE_DATE_EPOCH; otherwise it stays open. \
         --template DIR takes single templates from a folder, such as letterhead.html.",
    ),
    (
        "run",
        "Runs a script in the language of the notebook cells: read, assess, where, summary, figure, fit, report and others. \
         Its paths start in its own folder and lead below the nearest folder with a woodstate.toml, or below its own folder.",
    ),
    (
        "template",
        "Writes an empty form with the tables samples, timbers and log: units in the headers, lists of words, limits and \
         notes, and datapackage.json, which tells programs the same. The form is read as it is, once it is filled in.",
    ),
    (
        "schema",
        "Shows the JSON schema of the study file, or of what a command says with --json; editors check a file by it.",
    ),
    ("completions", "Writes the script that completes commands and options in a shell."),
    ("man", "Shows a page of the manual, or writes all of them into a folder."),
    (
        "study",
        "Looks at a workbook or text file as it is and writes a starter study file, woodstate.toml: what its headers and words \
         may mean, from a glossary in six languages. A line is proposed where there is one meaning and asked where a wrong \
         guess would change numbers; nothing in it is used until a person takes away the # before a line.",
    ),
    (
        "summary",
        "Sums up groups of pieces: how many pieces and timbers, median, quartiles and range of each quantity, the mean where \
         all pieces lie in one depth zone, and the share of each class with its interval. Pieces are chosen with --where, \
         grouped with --by, and --value names the quantities.",
    ),
];

/// The routes and what each is.
const ROUTES: [(Route, &str); 14] = [
    (Route::Displaced, "Oven-dry mass over a volume that was measured, or computed from the water displaced."),
    (Route::Immersed, "Oven-dry mass over a volume from the mass in air and the mass under water."),
    (Route::Geometric, "Oven-dry mass over a volume from the shape, measured by calliper."),
    (Route::Stated, "Stated in the table by the user, and taken as it stands."),
    (
        Route::SaturatedUndried,
        "Mass in air and volume of a piece that was not dried: it is taken as saturated, and the density of the cell wall \
         divides it into wood and water.",
    ),
    (
        Route::SaturatedDried,
        "From the water content alone: the piece is taken as saturated, so the density cannot confirm the water content.",
    ),
    (Route::Density12, "From the stated density at 12 % moisture content, by a factor for sound wood."),
    (Route::Weighed, "Saturated mass minus oven-dry mass, over oven-dry mass."),
    (Route::FromDensity, "From the basic density: the water content that this piece would have if it were saturated."),
    (Route::Volumes, "From the saturated and the oven-dry volume."),
    (Route::Dimensions, "From sizes in three directions, or in two for a cross-section."),
    (Route::OvenDrySize, "From the saturated and the oven-dry size."),
    (
        Route::ConditionedSize,
        "From the saturated and the conditioned size, which is smaller shrinkage than to oven-dry.",
    ),
    (Route::Computed, "By its formula from other results of the same piece."),
];

const STATUSES: [(Status, &str); 3] = [
    (Status::Assessed, "Everything that the readings of the piece allow was computed."),
    (
        Status::Partial,
        "A value of the row could not be used; the rest was computed. The findings of the row say which.",
    ),
    (Status::NotAssessed, "Nothing was computed; the findings of the row say why. The row stays in every list."),
];

const SEVERITIES: [(&str, Severity, &str); 3] = [
    ("note", Severity::Note, "A finding of this severity is said, and nothing is lost."),
    ("warning", Severity::Warning, "A value, a column or a quantity is not used; the row is assessed without it."),
    ("error", Severity::Error, "A row or a column is not assessed."),
];

/// Words of results that are none of the above.
const OTHERS: [(&str, &str); 6] = [
    ("degradation_class", "The class of a piece or a timber by the scheme of the study, the first label the worst."),
    (
        "decided",
        "A class is decided where its probability reaches the stated one and nothing is known to be measured wrongly.",
    ),
    ("unknown", "Nobody measured or stated it, or what it needs; never 0 and never no."),
    (
        "where",
        "A condition on rows, such as depth_from < 20 mm and taxon == 'oak': comparisons with units, joined by and, or, not; \
         in ('a', 'b'); unknown(column). A row of which it is unknown whether it fulfils the condition is left out, and counted \
         apart. assess and check choose rows before they assess, so timbers are judged by the rows kept; summary chooses pieces \
         after the assessment, by results too.",
    ),
    (
        "depth_zone",
        "Where a piece lies in its timber: outer (the outermost increments of the cores, as far as they overlap), inner (the \
         deepest ones of cores that have several), between (neither), unknown (no depth or no timber).",
    ),
    (
        "evidence",
        "How well the origin of a number is known: read, copy, derived, memory, proposal, stated by the user.",
    ),
];

fn of_source(source: &Source) -> Vec<(&'static str, String)> {
    let mut items = vec![("citation", source.citation.clone())];
    items.extend(source.licence.clone().map(|licence| ("licence", licence)));
    items.extend(source.note.clone().map(|note| ("note", note)));
    items
}

/// The stories of a word: none, one, or one of each kind of word that it is.
pub(super) fn stories(word: &str, reference: &'static Reference) -> Vec<Told> {
    let said = |text: &str| vec![("meaning", text.to_owned())];
    let finding = FindingCode::ALL.iter().find(|code| code.word() == word);
    let caution = CautionCode::ALL.iter().find(|code| code.word() == word);
    let curve = CurveCautionCode::ALL.iter().find(|code| code.word() == word);
    let course = CourseCautionCode::ALL.iter().find(|code| code.word() == word);
    let depth = DepthCautionCode::ALL.iter().find(|code| code.word() == word);
    let bath = BathCautionCode::ALL.iter().find(|code| code.word() == word);
    let lift = LiftCautionCode::ALL.iter().find(|code| code.word() == word);
    let depth_model = DepthModel::ALL.iter().find(|model| model.word() == word);
    let model = ModelChoice::ALL.iter().find(|choice| choice.word() == word);
    let column = TableKind::ALL.into_iter().find_map(|kind| Some((kind, kind.column(word)?)));
    let column = column.filter(|_| Quantity::of_name(word).is_none()).map(|(kind, column)| {
        vec![("table", kind.name().to_owned()), ("meaning", column.meaning.to_owned()), ("allowed", column.allowed())]
    });
    let route = ROUTES.iter().find(|(route, _)| route.word() == word);
    let status = STATUSES.iter().find(|(status, _)| status.word() == word);
    let severity = SEVERITIES.iter().find(|(name, ..)| *name == word);
    let scheme = reference.schemes().iter().find(|scheme| scheme.id == word);
    let command = COMMANDS.iter().find(|(name, _)| *name == word);
    let evidence = Evidence::ALL.iter().find(|evidence| evidence.word() == word);
    let source = reference.sources().iter().find(|source| source.id == word);
    let other = OTHERS.iter().find(|(name, _)| *name == word);
    let found = [
        ("finding", finding.map(|code| of_code(code.story()))),
        ("caution", caution.map(|code| of_code(code.story()))),
        ("caution about a curve", curve.map(|code| of_code(code.story()))),
        ("caution about a treatment", course.map(|code| of_code(code.story()))),
        ("caution about a depth profile", depth.map(|code| of_code(code.story()))),
        ("caution about a bath", bath.map(|code| of_code(code.story()))),
        ("caution about a lift", lift.map(|code| of_code(code.story()))),
        ("depth model", depth_model.map(|model| of_depth_model(*model))),
        ("strength model", model.map(|choice| of_model(*choice))),
        ("quantity", Quantity::of_name(word).map(of_quantity)),
        ("column", column),
        ("route", route.map(|(_, text)| said(text))),
        ("status", status.map(|(_, text)| said(text))),
        ("severity", severity.map(|(.., text)| said(text))),
        ("scheme", scheme.map(|scheme| of_scheme(scheme, reference))),
        ("command", command.map(|(_, text)| said(text))),
        ("evidence", evidence.map(|evidence| said(evidence.meaning()))),
        ("source", source.map(of_source)),
        ("word", other.map(|(_, text)| said(text))),
    ];
    let found = found.into_iter().filter_map(|(what, items)| Some((what, items?)));
    found.chain(treatment_stories(word, reference)).collect()
}

/// Every word that has a story.
pub(super) fn known(reference: &Reference) -> Vec<&str> {
    let findings = FindingCode::ALL.iter().map(|code| code.word());
    let cautions = CautionCode::ALL.iter().map(|code| code.word());
    let quantities = Quantity::ALL.iter().map(|quantity| quantity.name());
    let columns = TableKind::ALL.into_iter().flat_map(|kind| kind.columns().map(|column| column.name));
    let routes = ROUTES.iter().map(|(route, _)| route.word());
    let statuses = STATUSES.iter().map(|(status, _)| status.word());
    let others = SEVERITIES.iter().map(|(name, ..)| *name).chain(COMMANDS.iter().map(|(name, _)| *name));
    let schemes = reference.schemes().iter().map(|scheme| scheme.id.as_str());
    let words = findings.chain(cautions).chain(quantities).chain(columns).chain(routes).chain(statuses);
    let evidence = Evidence::ALL.iter().map(|evidence| evidence.word());
    let sources = reference.sources().iter().map(|source| source.id.as_str());
    let curves = CurveCautionCode::ALL.iter().map(|code| code.word());
    let models = ModelChoice::ALL.iter().map(|choice| choice.word());
    let courses = CourseCautionCode::ALL.iter().map(|code| code.word());
    let depths = DepthCautionCode::ALL.iter().map(|code| code.word());
    let baths = BathCautionCode::ALL.iter().map(|code| code.word());
    let lifts = LiftCautionCode::ALL.iter().map(|code| code.word());
    let depth_models = DepthModel::ALL.iter().map(|model| model.word());
    let words = words
        .chain(curves)
        .chain(courses)
        .chain(depths)
        .chain(baths)
        .chain(lifts)
        .chain(depth_models)
        .chain(models)
        .chain(others)
        .chain(schemes)
        .chain(evidence)
        .chain(sources);
    words.chain(OTHERS.iter().map(|(name, _)| *name)).chain(treatment_words(reference)).collect()
}

fn of_code(story: &Story) -> Vec<(&'static str, String)> {
    let items = [
        ("in short", story.text),
        ("meaning", story.meaning),
        ("consequence", story.consequence),
        ("cause", story.cause),
        ("cure", story.cure),
    ];
    items.map(|(name, text)| (name, text.to_owned())).to_vec()
}

fn of_model(choice: ModelChoice) -> Vec<(&'static str, String)> {
    let said = |text: &str| vec![("meaning", text.to_owned())];
    match choice {
        ModelChoice::Auto => said(
            "The model with the smallest AICc among those with a formula whose parameters the data hold; all are listed with \
             their weights, or with the reason why they are not weighed.",
        ),
        ModelChoice::Monotone => said(
            "A curve without a formula: the closest one that never turns. For looking and for judging a formula; it has no \
             interval for a new piece and does not extrapolate.",
        ),
        ModelChoice::One(model) => {
            let ModelSpec { meaning, parameters, source, evidence, .. } = *model.spec();
            let mut items = said(meaning);
            items.extend(parameters.iter().map(|parameter| (parameter.name, parameter.meaning.to_owned())));
            items.extend([("source", source.to_owned()), ("evidence", evidence.word().to_owned())]);
            items
        }
    }
}

fn of_depth_model(model: DepthModel) -> Vec<(&'static str, String)> {
    let mut items = vec![("meaning", model.meaning().to_owned()), ("formula", model.formula().to_owned())];
    items.extend(model.parameters().iter().map(|parameter| (parameter.name, parameter.meaning.to_owned())));
    items
}

fn of_quantity(quantity: Quantity) -> Vec<(&'static str, String)> {
    let spec = quantity.spec();
    let mut items = vec![
        ("meaning", spec.meaning.to_owned()),
        ("unit", spec.unit.to_owned()),
        ("formula", spec.formula.to_owned()),
    ];
    let routes: &[Route] = match quantity {
        Quantity::MaxWaterContent => &Route::TO_MAX_WATER_CONTENT,
        Quantity::BasicDensity => &Route::TO_BASIC_DENSITY,
        _ => &[],
    };
    if !routes.is_empty() {
        let words: Vec<&str> = routes.iter().map(|route| route.word()).collect();
        items.push(("routes, in the order of reporting", words.join(", ")));
    }
    items
}

fn of_scheme(scheme: &Scheme, reference: &Reference) -> Vec<(&'static str, String)> {
    let unit = Quantity::of_name(&scheme.quantity).map_or("", |quantity| quantity.spec().unit);
    let band = |class: &ClassBand| match (class.from, class.to) {
        (Some(from), Some(to)) => format!("{} from {from} to {to} {unit}", class.label),
        (Some(from), None) => format!("{} from {from} {unit}", class.label),
        (None, Some(to)) => format!("{} to {to} {unit}", class.label),
        (None, None) => class.label.clone(),
    };
    let source = reference.scheme_source(scheme);
    vec![
        ("title", scheme.title.clone()),
        ("quantity", scheme.quantity.clone()),
        ("scope", scheme.scope.join("; ")),
        ("classes, the worst first", scheme.classes.iter().map(band).collect::<Vec<_>>().join("; ")),
        ("source", format!("{}; {}", source.citation, source.place)),
        ("evidence", source.evidence.word().to_owned()),
    ]
}
