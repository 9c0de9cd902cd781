//! The JSON Schema of one event.

use schemars::{JsonSchema, Schema, SchemaGenerator, generate::SchemaSettings, json_schema};
use serde_json::{Value, json};

use super::{
    body::schemas,
    envelope::{Event, VERSION},
};
use crate::quantity::{DeviceId, EventId, Instant, PersonId};

/// The schema of one line of an events file (JSON Schema 2020-12): one alternative a known kind.
///
/// An event of a kind or version that is not known here is kept although no alternative holds it.
pub fn schema() -> Value {
    let schema = SchemaSettings::draft2020_12().into_generator().into_root_schema_for::<Event>();
    Value::from(schema)
}

impl JsonSchema for Event {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Event".into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let kinds: Vec<Value> = schemas(generator)
            .into_iter()
            .map(|(kind, body)| {
                json!({
                    "title": kind,
                    "properties": { "kind": { "const": kind }, "body": Value::from(body) }
                })
            })
            .collect();
        json_schema!({
            "type": "object",
            "description": "One event: one line of an events file.",
            "required": ["id", "kind", "version", "at", "device", "person", "body"],
            "additionalProperties": false,
            "properties": {
                "id": generator.subschema_for::<EventId>(),
                "kind": { "type": "string" },
                "version": { "const": VERSION },
                "at": generator.subschema_for::<Instant>(),
                "device": generator.subschema_for::<DeviceId>(),
                "person": generator.subschema_for::<PersonId>(),
                "late_wall_ms": {
                    "type": ["integer", "null"],
                    "description": "For an entry made late: when it really was, by the writer's \
                                    word, milliseconds since 1970 UTC."
                },
                "body": { "type": "object" }
            },
            "oneOf": kinds
        })
    }
}
