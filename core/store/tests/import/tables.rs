//! A made-up map sheet taken apart into the tables of an invented utility, with the mapping that
//! puts it together again.

use std::{collections::BTreeMap, fmt::Write};

use coldlug_core::mapsheet::{FieldForm, FieldOf, KINDS, Measure, fields_of};
use coldlug_field::{neighbourhood::neighbourhood, record::Record};
use serde_json::{Map, Value};

/// Most sources that a customer has here.
const SLOTS: usize = 4;

/// A made-up map sheet.
pub(crate) fn sheet(seed: u64) -> Value {
    let world = neighbourhood(seed);
    Record::true_of(&world).map_sheet(&world)
}

/// One row: its geometry, and its values by column.
#[derive(Debug, Clone)]
pub(crate) struct Row {
    pub(crate) geometry: Value,
    pub(crate) values: BTreeMap<String, Value>,
}

/// The rows of each kind.
pub(crate) type Tables = BTreeMap<&'static str, Vec<Row>>;

/// Takes a sheet apart. A pad's contents are left out: other things say where they are.
pub(crate) fn tables(sheet: &Value) -> Tables {
    let mut tables: Tables = KINDS.into_iter().map(|kind| (kind, Vec::new())).collect();
    for feature in sheet["features"].as_array().unwrap() {
        let members = feature["properties"].as_object().unwrap();
        let kind = KINDS.into_iter().find(|kind| members["kind"] == *kind).unwrap();
        let mut values = BTreeMap::new();
        for field in
            fields_of(kind).unwrap().iter().filter(|f| (kind, f.name) != ("pad", "contains"))
        {
            let Some(value) = members.get(field.name) else { continue };
            match field.form {
                FieldForm::Texts => {
                    let texts: Vec<&str> =
                        value.as_array().unwrap().iter().map(|t| t.as_str().unwrap()).collect();
                    values.insert(column(field), texts.join(";").into());
                }
                FieldForm::Objects(inner) => {
                    let objects = value.as_array().unwrap();
                    assert!(objects.len() <= SLOTS, "more sources than slots");
                    for (slot, object) in objects.iter().enumerate() {
                        for field in inner {
                            values.insert(slot_column(slot, field), object[field.name].clone());
                        }
                    }
                }
                _ => {
                    values.insert(column(field), value.clone());
                }
            }
        }
        let geometry = feature.get("geometry").cloned().unwrap_or_default();
        tables.get_mut(kind).unwrap().push(Row { geometry, values });
    }
    tables
}

fn column(field: &FieldOf) -> String {
    field.name.to_uppercase()
}

fn slot_column(slot: usize, field: &FieldOf) -> String {
    format!("S{slot}_{}", field.name.to_uppercase())
}

/// The columns of a kind's table.
pub(crate) fn columns(kind: &str) -> Vec<String> {
    let fields = fields_of(kind).unwrap().iter();
    fields
        .filter(|field| (kind, field.name) != ("pad", "contains"))
        .flat_map(|field| match field.form {
            FieldForm::Objects(inner) => (0..SLOTS)
                .flat_map(|slot| inner.iter().map(move |field| slot_column(slot, field)))
                .collect(),
            _ => vec![column(field)],
        })
        .collect()
}

fn filling(field: &FieldOf, column: &str) -> String {
    let unit = match field.form {
        FieldForm::Number(Measure::Metres) => "m",
        FieldForm::Number(Measure::Volts) => "V",
        FieldForm::Number(Measure::Kilovolts) => "kV",
        FieldForm::Number(Measure::Amps) => "A",
        FieldForm::Number(Measure::KilovoltAmps) => "kVA",
        FieldForm::Number(Measure::Kilowatts) => "kW",
        FieldForm::Number(Measure::Percent) => "percent",
        FieldForm::Texts => return format!("{{ column = \"{column}\", split = \";\" }}"),
        _ => return format!("\"{column}\""),
    };
    format!("{{ column = \"{column}\", unit = \"{unit}\" }}")
}

/// The mapping that puts the tables together; `extra` goes into each layer.
pub(crate) fn mapping(sheet: &Value, extra: impl Fn(&str) -> String) -> String {
    let header: &Map<String, Value> = sheet["coldlug_map_sheet"].as_object().unwrap();
    let mut text = "[sheet]\n".to_owned();
    for (name, value) in header.iter().filter(|(name, _)| *name != "format") {
        writeln!(text, "{name} = {value}").unwrap();
    }
    for kind in KINDS {
        writeln!(text, "\n[[layer]]\nof = \"{kind}s\"\nkind = \"{kind}\"\n{}", extra(kind))
            .unwrap();
        writeln!(text, "[layer.fields]").unwrap();
        for field in fields_of(kind).unwrap() {
            if (kind, field.name) == ("pad", "contains") {
                continue;
            }
            let FieldForm::Objects(inner) = field.form else {
                writeln!(text, "{} = {}", field.name, filling(field, &column(field))).unwrap();
                continue;
            };
            let slots: Vec<String> = (0..SLOTS)
                .map(|slot| {
                    let fields: Vec<String> = inner
                        .iter()
                        .map(|f| format!("{} = {}", f.name, filling(f, &slot_column(slot, f))))
                        .collect();
                    format!("{{ {} }}", fields.join(", "))
                })
                .collect();
            writeln!(text, "{} = [{}]", field.name, slots.join(", ")).unwrap();
        }
    }
    text
}
