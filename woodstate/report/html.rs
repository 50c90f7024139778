//! Pages from templates. Every value is escaped, since names of samples come from anywhere.

use std::path::Path;

use minijinja::syntax::SyntaxConfig;
use minijinja::value::Serde;
use minijinja::{Environment, UndefinedBehavior, Value};

use crate::error::{Error, ErrorKind, Result, near};
use crate::study::Report;
use crate::table::{file_names, read_file};

use super::page::{PageFigure, page, sheets};

/// Name and text of each template that is shipped.
const SHIPPED: [(&str, &str); 6] = [
    ("page.html", include_str!("templates/page.html")),
    ("sheets.html", include_str!("templates/sheets.html")),
    ("letterhead.html", include_str!("templates/letterhead.html")),
    ("parts.html", include_str!("templates/parts.html")),
    ("table.html", include_str!("templates/table.html")),
    ("style.html", include_str!("templates/style.html")),
];

/// The templates of the pages.
///
/// `page.html` is the report and `sheets.html` the decision sheets; both take `letterhead.html` and `style.html`, and
/// `parts.html` shows the parts of a section, `table.html` a table. A template sees `page`: `title`, `study`, `date`,
/// `laboratory`, `program`; the first two see more, as their shipped forms show.
#[derive(Debug)]
pub struct Templates {
    environment: Environment<'static>,
    /// Where each template comes from, for faults.
    origins: Vec<(String, String)>,
}

impl Templates {
    /// The shipped templates.
    ///
    /// # Errors
    /// None that is known.
    ///
    /// # Example
    /// ```
    /// assert!(woodstate::report::Templates::shipped().is_ok());
    /// ```
    pub fn shipped() -> Result<Self> {
        Self::of(&[])
    }

    /// The shipped templates with those of a folder in their place.
    ///
    /// # Errors
    /// [`ErrorKind::Template`] with file and line of a fault of syntax; [`ErrorKind::Name`] for a file that is no template;
    /// a folder that cannot be read.
    pub fn open(folder: &Path) -> Result<Self> {
        let mut own = Vec::new();
        for name in file_names(folder)? {
            let path = folder.join(&name);
            if SHIPPED.iter().all(|(shipped, _)| *shipped != name) {
                let shipped = SHIPPED.map(|(shipped, _)| shipped.to_owned()).to_vec();
                let near =
                    near(&name, shipped.iter().map(String::as_str)).first().map(|one| format!("did you mean {one}?"));
                let error = Error::new(ErrorKind::Name { what: "template", found: name, allowed: shipped });
                return Err(match near {
                    Some(near) => error.with_hint(near),
                    None => error,
                });
            }
            let source = read_file(&path)?;
            let file = path.to_string_lossy().into_owned();
            let text = String::from_utf8(source.bytes).map_err(|error| {
                let before = &error.as_bytes()[..error.utf8_error().valid_up_to()];
                let line = before.split(|byte| *byte == b'\n').count();
                let text = "a letter here is not UTF-8; save the template as UTF-8".to_owned();
                Error::new(ErrorKind::Template { file: file.clone(), line, text })
            })?;
            own.push((name, file, text));
        }
        Self::of(&own)
    }

    fn of(own: &[(String, String, String)]) -> Result<Self> {
        let mut environment = Environment::new();
        environment.set_undefined_behavior(UndefinedBehavior::Strict);
        let mut syntax = SyntaxConfig::builder();
        syntax.trim_blocks(true).lstrip_blocks(true).keep_trailing_newline(true);
        let syntax = syntax.build();
        environment.set_syntax(syntax.map_err(|error| {
            Error::new(ErrorKind::Template { file: String::new(), line: 0, text: error.to_string() })
        })?);
        let mut templates = Self { environment, origins: Vec::new() };
        for (name, text) in SHIPPED {
            let found = own.iter().find(|(other, ..)| other == name);
            let (file, text) = found.map_or((name, text), |(_, file, text)| (file.as_str(), text.as_str()));
            templates.origins.push((name.to_owned(), file.to_owned()));
            let added = templates.environment.add_template_owned(name, text.to_owned());
            added.map_err(|error| templates.fault(&error, Some(text)))?;
        }
        Ok(templates)
    }

    /// `report.html`.
    ///
    /// # Errors
    /// [`ErrorKind::Template`] with file and line, for what a template of a folder asks for and is not there.
    pub fn page(&self, report: &Report, figures: &[PageFigure]) -> Result<String> {
        self.render("page.html", Value::from(Serde(page(report, figures))))
    }

    /// `sheets.html`.
    ///
    /// # Errors
    /// As [`Templates::page`].
    pub fn sheets(&self, report: &Report) -> Result<String> {
        self.render("sheets.html", Value::from(Serde(sheets(report))))
    }

    fn render(&self, name: &str, page: Value) -> Result<String> {
        let template = self.environment.get_template(name).map_err(|error| self.fault(&error, None))?;
        let context = Value::from_pairs([("page", page)]);
        template.render(context).map_err(|error| self.fault(&error, None))
    }

    /// A fault of a template, in our words: the innermost one that has a line.
    fn fault(&self, error: &minijinja::Error, text: Option<&str>) -> Error {
        let mut innermost = error;
        let mut cause: Option<&(dyn std::error::Error + 'static)> = std::error::Error::source(error);
        while let Some(next) = cause {
            if let Some(found) = next.downcast_ref::<minijinja::Error>().filter(|found| found.line().is_some()) {
                innermost = found;
            }
            cause = next.source();
        }
        let name = innermost.name().unwrap_or_default();
        let origin = self.origins.iter().find(|(known, _)| known == name);
        let file = origin.map_or_else(|| name.to_owned(), |(_, file)| file.clone());
        let line = innermost.line().unwrap_or_default();
        let what = innermost.kind().to_string();
        let detail = innermost.detail().map(|detail| format!(": {detail}")).unwrap_or_default();
        let shown =
            text.or_else(|| innermost.template_source()).and_then(|text| text.lines().nth(line.checked_sub(1)?));
        let shown = shown.map(|line| format!(" in: {}", line.trim())).unwrap_or_default();
        let text = format!("{what}{detail}{shown}");
        let hint = "a template sees page.title, page.study, page.date, page.laboratory and page.program; the shipped \
                    templates show the rest";
        Error::new(ErrorKind::Template { file, line, text }).with_hint(hint)
    }
}
