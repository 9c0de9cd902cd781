//! `coldlug schema`: the JSON Schema of each JSON form, made from the types.

use std::io::Write;

use coldlug_core::form::{
    CheckForm, FaultCurrentForm, ImportForm, JudgementForm, RecordForm, RuleBookForm,
};
use coldlug_core::isolate::Isolation;
use schemars::schema_for;
use serde_json::Value;

use crate::{exit::Exit, print::Print, simulate::SimulationForm, table::Table, trouble::Trouble};

/// A form that can be asked for.
struct Form {
    name: &'static str,
    what: &'static str,
    schema: fn() -> Value,
}

/// Every JSON form of the terminal.
const FORMS: &[Form] = &[
    Form {
        name: "check",
        what: "answer of `check --json`",
        schema: || schema_for!(CheckForm).to_value(),
    },
    Form { name: "event", what: "one line of an events file", schema: coldlug_core::event::schema },
    Form {
        name: "fault-current",
        what: "answer of `fault-current --json`",
        schema: || schema_for!(FaultCurrentForm).to_value(),
    },
    Form {
        name: "import",
        what: "answer of `import --json`",
        schema: || schema_for!(ImportForm).to_value(),
    },
    Form {
        name: "judgement",
        what: "answer of `judge --json`",
        schema: || schema_for!(JudgementForm).to_value(),
    },
    Form {
        name: "plan",
        what: "answer of `plan --json`",
        schema: || schema_for!(Isolation).to_value(),
    },
    Form {
        name: "record",
        what: "answer of `verify --json`",
        schema: || schema_for!(RecordForm).to_value(),
    },
    Form {
        name: "rules",
        what: "answer of `rules --json`",
        schema: || schema_for!(RuleBookForm).to_value(),
    },
    Form {
        name: "simulation",
        what: "answer of `simulate --json`",
        schema: || schema_for!(SimulationForm).to_value(),
    },
];

/// Prints one schema, or the list of forms.
pub(crate) fn run<W: Write>(
    name: Option<&str>,
    json: bool,
    print: &mut Print<W>,
) -> Result<Exit, Trouble> {
    let Some(name) = name else {
        if json {
            print.json(&FORMS.iter().map(|f| f.name).collect::<Vec<_>>())?;
        } else {
            let mut table = Table::new(["form", "what it is"]);
            for form in FORMS {
                table.row([form.name, form.what]);
            }
            print.table(&table)?;
        }
        return Ok(Exit::Yes);
    };
    let form = FORMS.iter().find(|f| f.name == name).ok_or_else(|| {
        let known = FORMS.iter().map(|f| f.name).collect::<Vec<_>>().join(", ");
        Trouble::refused(
            format!("the form '{name}'"),
            "there is no such form",
            format!("ask for one of: {known}"),
        )
    })?;
    print.json(&(form.schema)())?;
    Ok(Exit::Yes)
}
