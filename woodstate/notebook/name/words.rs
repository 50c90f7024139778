//! A text or a list of texts.

use starlark::values::list_or_tuple::UnpackListOrTuple;
use starlark::values::{UnpackValue, Value};

use crate::notebook::fault::refuse;
use crate::notebook::value::ColumnValue;

/// No text, one text with commas, or a list of texts.
pub(super) fn words(value: Value<'_>, name: &str) -> starlark::Result<Vec<String>> {
    if value.is_none() {
        return Ok(Vec::new());
    }
    if let Some(text) = value.unpack_str() {
        return Ok(text.split(',').map(|word| word.trim().to_owned()).filter(|word| !word.is_empty()).collect());
    }
    if let Some(column) = ColumnValue::from_value(value) {
        return Ok(vec![column.name.clone()]);
    }
    let list = UnpackListOrTuple::<Value<'_>>::unpack_value(value).ok().flatten();
    let texts = list.and_then(|list| list.items.iter().map(|item| item.unpack_str().map(str::to_owned)).collect());
    texts.ok_or_else(|| {
        let text = format!("{name} is {}, and names are texts in quotes", value.to_repr());
        refuse(text, format!("{name}=\"basic_density\" or {name}=[\"basic_density\", \"porosity\"]"))
    })
}
