//! The written schema of the sheet, as a judge of real sheets.

use boon::{Compiler, SchemaIndex, Schemas};
use serde_json::Value;

pub struct Judge {
    schemas: Schemas,
    index: SchemaIndex,
}

impl Judge {
    /// As strangers use it: fields that it does not know are let pass.
    pub fn lenient() -> Self {
        Self::of(text())
    }

    /// As we use it: a field that is not written down is a fault.
    pub fn strict() -> Self {
        let mut schema = text();
        forbid_more(&mut schema);
        Self::of(schema)
    }

    fn of(schema: Value) -> Self {
        let (mut schemas, mut compiler) = (Schemas::new(), Compiler::new());
        compiler.add_resource("sheet.json", schema).expect("the schema is one resource");
        let index = compiler.compile("sheet.json", &mut schemas).expect("the schema is sound");
        Judge { schemas, index }
    }

    pub fn accepts(&self, sheet: &Value) -> Result<(), String> {
        self.schemas.validate(sheet, self.index).map_err(|error| format!("{error:#}"))
    }
}

pub fn text() -> Value {
    serde_json::from_str(include_str!("../../src/sheet/schema.json")).expect("the schema is JSON")
}

fn forbid_more(schema: &mut Value) {
    match schema {
        Value::Object(fields) => {
            if fields.contains_key("properties") {
                fields.insert("additionalProperties".to_owned(), Value::Bool(false));
            }
            fields.values_mut().for_each(forbid_more);
        }
        Value::Array(items) => items.iter_mut().for_each(forbid_more),
        _ => {}
    }
}
