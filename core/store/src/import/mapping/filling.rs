//! How one field is filled.

use std::collections::BTreeMap;

use coldlug_core::mapsheet::{FieldForm, FieldOf, Measure, SourceFindingId};
use serde_json::Value;
use toml::Value as Toml;

use crate::import::unit::{self, Unit};

/// How one field is filled.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Filling {
    /// From columns of the row.
    Column(Column),
    /// With one value for every row, as the mapping says.
    Value {
        /// The value, in the map sheet's own unit.
        value: Value,
        /// Why it holds for every row.
        because: String,
    },
    /// With objects, each of fields of its own; one of which a row's columns tell nothing is left out.
    Objects(Vec<Vec<(FieldOf, Filling)>>),
}

/// A field from columns.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Column {
    /// The columns, joined in this order.
    pub(crate) columns: Vec<String>,
    /// What stands between them.
    pub(crate) between: String,
    /// What stands before the value.
    pub(crate) before: String,
    /// What stands after it.
    pub(crate) after: String,
    /// What each code means.
    pub(crate) codes: Option<BTreeMap<String, Value>>,
    /// In what the number counts.
    pub(crate) unit: Unit,
    /// What stands between several texts.
    pub(crate) split: Option<String>,
}

/// What is wrong with a filling: the key, the kind of thing, what its sentence names.
pub(super) type Wrong = (String, SourceFindingId, Vec<(&'static str, String)>);

impl Filling {
    /// Every column it reads.
    pub(crate) fn columns(&self) -> Vec<&str> {
        match self {
            Self::Column(column) => column.columns.iter().map(String::as_str).collect(),
            Self::Value { .. } => Vec::new(),
            Self::Objects(objects) => {
                objects.iter().flatten().flat_map(|(_, filling)| filling.columns()).collect()
            }
        }
    }

    /// Reads how a field is filled; notes what is wrong under `key`.
    pub(super) fn read(
        key: &str,
        field: FieldOf,
        said: &Toml,
        wrong: &mut Vec<Wrong>,
    ) -> Option<Self> {
        if let FieldForm::Objects(inner) = field.form {
            return objects(key, inner, said, wrong);
        }
        let table = match said {
            Toml::String(column) => {
                &toml::Table::from_iter([("column".to_owned(), column.clone().into())])
            }
            Toml::Table(table) => table,
            _ => {
                note(wrong, key, SourceFindingId::FillingWrong, "a column in quotes, or a table");
                return None;
            }
        };
        if table.contains_key("value") {
            return value(key, field, table, wrong);
        }
        column(key, field, table, wrong).map(Self::Column)
    }
}

fn note(wrong: &mut Vec<Wrong>, key: &str, id: SourceFindingId, needs: &str) {
    wrong.push((key.to_owned(), id, vec![("needs", needs.to_owned())]));
}

fn objects(key: &str, inner: &[FieldOf], said: &Toml, wrong: &mut Vec<Wrong>) -> Option<Filling> {
    let Some(items) = said.as_array() else {
        note(wrong, key, SourceFindingId::FillingWrong, "a list of tables");
        return None;
    };
    let mut objects = Vec::new();
    for (number, item) in items.iter().enumerate() {
        let key = format!("{key}.{}", number + 1);
        let Some(table) = item.as_table() else {
            note(wrong, &key, SourceFindingId::FillingWrong, "a table of fields");
            continue;
        };
        objects.push(fields(&key, inner, table, wrong));
    }
    Some(Filling::Objects(objects))
}

/// The fields of a layer, or of an object within one.
pub(super) fn fields(
    key: &str,
    known: &[FieldOf],
    table: &toml::Table,
    wrong: &mut Vec<Wrong>,
) -> Vec<(FieldOf, Filling)> {
    let mut fields = Vec::new();
    for (name, said) in table {
        let key = format!("{key}.{name}");
        let Some(&field) = known.iter().find(|field| field.name == name) else {
            let names: Vec<&str> = known.iter().map(|field| field.name).collect();
            let args = vec![("field", name.clone()), ("known", names.join(", "))];
            wrong.push((key, SourceFindingId::FieldUnknown, args));
            continue;
        };
        if let Some(filling) = Filling::read(&key, field, said, wrong) {
            fields.push((field, filling));
        }
    }
    fields
}

/// Reports keys that are none of these.
pub(super) fn only_keys(key: &str, table: &toml::Table, known: &[&str], wrong: &mut Vec<Wrong>) {
    for name in table.keys().filter(|name| !known.contains(&name.as_str())) {
        let args = vec![("field", name.clone()), ("known", known.join(", "))];
        wrong.push((format!("{key}.{name}"), SourceFindingId::FieldUnknown, args));
    }
}

fn value(
    key: &str,
    field: FieldOf,
    table: &toml::Table,
    wrong: &mut Vec<Wrong>,
) -> Option<Filling> {
    only_keys(key, table, &["value", "because"], wrong);
    let because = table.get("because").and_then(Toml::as_str).map(str::trim);
    let Some(because) = because.filter(|text| !text.is_empty()) else {
        let needs = "because = \"…\": why this holds for every row";
        note(wrong, key, SourceFindingId::FillingWrong, needs);
        return None;
    };
    let value = table.get("value").and_then(json)?;
    let fits = match field.form {
        FieldForm::Text => value.is_string(),
        FieldForm::Texts => {
            value.as_array().is_some_and(|items| items.iter().all(Value::is_string))
        }
        FieldForm::Number(_) => value.is_number(),
        FieldForm::Whole => value.is_u64(),
        FieldForm::Flag => value.is_boolean(),
        FieldForm::Objects(_) => false,
    };
    if !fits {
        note(wrong, key, SourceFindingId::FillingWrong, form_word(field.form));
        return None;
    }
    Some(Filling::Value { value, because: because.to_owned() })
}

/// What a field holds, for people: the words of the file's own form.
pub(crate) fn form_word(form: FieldForm) -> &'static str {
    match form {
        FieldForm::Text => "text",
        FieldForm::Texts => "texts",
        FieldForm::Number(_) => "number",
        FieldForm::Whole => "whole number",
        FieldForm::Flag => "true or false",
        FieldForm::Objects(_) => "tables",
    }
}

fn column(
    key: &str,
    field: FieldOf,
    table: &toml::Table,
    wrong: &mut Vec<Wrong>,
) -> Option<Column> {
    let before = wrong.len();
    let keys = ["column", "columns", "between", "before", "after", "codes", "unit", "split"];
    only_keys(key, table, &keys, wrong);
    let text = |name: &str, wrong: &mut Vec<Wrong>| match table.get(name) {
        None => None,
        Some(Toml::String(text)) => Some(text.clone()),
        Some(_) => {
            note(wrong, &format!("{key}.{name}"), SourceFindingId::FillingWrong, "text");
            None
        }
    };
    let columns = match (text("column", wrong), table.get("columns").and_then(Toml::as_array)) {
        (Some(column), None) => vec![column],
        (None, Some(all)) => {
            let names: Vec<String> =
                all.iter().filter_map(Toml::as_str).map(str::to_owned).collect();
            if names.len() == all.len() { names } else { Vec::new() }
        }
        _ => Vec::new(),
    };
    if columns.is_empty() {
        note(wrong, key, SourceFindingId::FillingWrong, "column = \"…\", columns = […] or value");
    }
    let unit = unit_of(key, field.form, text("unit", wrong), wrong);
    let split = text("split", wrong).filter(|split| !split.is_empty());
    if split.is_some() && field.form != FieldForm::Texts {
        note(wrong, &format!("{key}.split"), SourceFindingId::FillingWrong, form_word(field.form));
    }
    let codes = match table.get("codes") {
        None => None,
        Some(Toml::Table(codes)) => Some(
            codes.iter().filter_map(|(code, said)| Some((code.clone(), json(said)?))).collect(),
        ),
        Some(_) => {
            note(wrong, &format!("{key}.codes"), SourceFindingId::FillingWrong, "a table");
            None
        }
    };
    let filled = Column {
        columns,
        between: text("between", wrong).unwrap_or_else(|| " ".to_owned()),
        before: text("before", wrong).unwrap_or_default(),
        after: text("after", wrong).unwrap_or_default(),
        codes,
        unit,
        split,
    };
    (wrong.len() == before).then_some(filled)
}

fn unit_of(key: &str, form: FieldForm, said: Option<String>, wrong: &mut Vec<Wrong>) -> Unit {
    let names = match form {
        FieldForm::Number(measure) => unit::names(measure),
        _ => Vec::new(),
    };
    let found = match (form, &said) {
        (FieldForm::Number(Measure::Bare), None) => Some(Unit::OWN),
        (FieldForm::Number(measure), Some(name)) => Unit::named(measure, name),
        (FieldForm::Number(_), None) | (_, Some(_)) => None,
        (_, None) => Some(Unit::OWN),
    };
    found.unwrap_or_else(|| {
        let known = if names.is_empty() { "-".to_owned() } else { names.join(", ") };
        let args = vec![("unit", said.unwrap_or_else(|| "-".to_owned())), ("known", known)];
        wrong.push((format!("{key}.unit"), SourceFindingId::UnitWrong, args));
        Unit::OWN
    })
}

/// A TOML value as JSON; none for dates and for numbers that are not finite.
pub(super) fn json(value: &Toml) -> Option<Value> {
    Some(match value {
        Toml::String(text) => text.clone().into(),
        Toml::Integer(whole) => (*whole).into(),
        Toml::Float(number) => serde_json::Number::from_f64(*number)?.into(),
        Toml::Boolean(flag) => (*flag).into(),
        Toml::Array(items) => Value::Array(items.iter().map(json).collect::<Option<_>>()?),
        Toml::Datetime(_) | Toml::Table(_) => return None,
    })
}
