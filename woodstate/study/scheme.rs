//! Class schemes of the user.

use crate::error::{Result, near};
use crate::quantity::{Evidence, Quantity};
use crate::reference::{ClassBand, Reference, Scheme};

use super::origin::Origin;
use super::parse::{SchemeText, StudyText};
use super::reading::did_you_mean;

/// Every scheme of the study file, used or not.
pub(super) fn schemes(origin: &Origin<'_>, parsed: &StudyText, reference: &Reference) -> Result<Vec<Scheme>> {
    let mut schemes = Vec::new();
    for (id, text) in &parsed.schemes {
        let at = text.span().start;
        if parsed.assess.scheme.is_none() {
            let say = format!("the scheme {id} is given and none is chosen; write scheme = \"{id}\" under [assess]");
            return Err(origin.fault(at, say));
        }
        if reference.scheme(id).is_ok() {
            return Err(origin.fault(at, format!("{id} is the name of a scheme of woodstate; choose another name")));
        }
        schemes.push(scheme(origin, id, text.as_ref(), at, reference)?);
    }
    Ok(schemes)
}

fn scheme(origin: &Origin<'_>, id: &str, text: &SchemeText, at: usize, reference: &Reference) -> Result<Scheme> {
    let quantity = text.quantity.as_ref();
    if Quantity::of_name(quantity).is_none() {
        let near = near(quantity, Quantity::ALL.iter().map(|quantity| quantity.name()));
        let usual = if near.is_empty() { "; usual is max_water_content".to_owned() } else { did_you_mean(&near) };
        let say = format!("\"{quantity}\" is not a derived quantity{usual}");
        return Err(origin.fault(text.quantity.span().start, say));
    }
    for name in &text.scope {
        if reference.taxon(name.as_ref()).is_none() {
            let near = did_you_mean(&reference.near_taxa(name.as_ref()));
            let say = format!("\"{}\" is not in the list of taxa{near}", name.as_ref());
            return Err(origin.fault(name.span().start, say));
        }
    }
    let band =
        |class: &super::parse::ClassText| ClassBand { label: class.label.clone(), from: class.from, to: class.to };
    let mut scheme = Scheme {
        id: id.to_owned(),
        title: text.title.clone(),
        quantity: quantity.clone(),
        scope: text.scope.iter().map(|name| name.as_ref().clone()).collect(),
        classes: text.classes.iter().map(band).collect(),
        source: text.source.clone(),
        place: "study file".to_owned(),
        evidence: Evidence::Stated,
    };
    scheme.check().map_err(|say| origin.fault(at, say))?;
    let is_ascending = scheme.classes.windows(2).all(|pair| pair[0].to == pair[1].from && pair[0].to.is_some());
    let is_descending = scheme.classes.windows(2).all(|pair| pair[0].from == pair[1].to && pair[0].from.is_some());
    if !(is_ascending || is_descending) {
        return Err(origin.fault(at, format!("classes of scheme {id} must stand in order, the worst first or last")));
    }
    if let Some(worst) = &text.worst {
        let label = |class: Option<&ClassBand>| class.map(|class| class.label.clone()).unwrap_or_default();
        let (first, last) = (label(scheme.classes.first()), label(scheme.classes.last()));
        if *worst.as_ref() == last {
            scheme.classes.reverse();
        } else if *worst.as_ref() != first {
            let say =
                format!("\"{}\" is not the first or the last class; the worst is {first} or {last}", worst.as_ref());
            return Err(origin.fault(worst.span().start, say));
        }
    }
    Ok(scheme)
}
