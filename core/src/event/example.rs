//! One example of each kind of event.

/// One example of each kind, as an events file. They do not make one job: each stands for itself.
///
/// ```json
#[doc = include_str!("example.jsonl")]
/// ```
pub const fn examples() -> &'static str {
    include_str!("example.jsonl")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::event::{Body, Event, EventsError, KINDS, LineError, StrictError, parse_events};

    fn lines() -> Vec<Event> {
        parse_events(examples().as_bytes()).unwrap()
    }

    #[test]
    fn every_kind_has_one_example() {
        let kinds: Vec<_> = lines().iter().map(|event| event.body.kind().to_owned()).collect();
        assert_eq!(kinds, KINDS);
        assert!(!lines().iter().any(|event| matches!(event.body, Body::Unknown { .. })));
    }

    #[test]
    fn every_example_is_written_as_it_was_read() {
        for (event, line) in lines().iter().zip(examples().lines()) {
            let left = serde_json::from_str::<serde_json::Value>(line).unwrap();
            let mut written = serde_json::to_value(event).unwrap();
            assert_eq!(written, left);
            assert_eq!(&parse_events(event.to_line().unwrap().as_bytes()).unwrap()[0], event);
            written["body"]["surprise"] = true.into();
            let text = written.to_string();
            assert!(parse_events(text.as_bytes()).is_err(), "unknown member passed: {text}");
        }
    }

    fn refused(text: &str) -> LineError {
        match parse_events(text.as_bytes()) {
            Err(EventsError::Line { line, reason }) => {
                assert_eq!(line, text.lines().count(), "{reason}");
                reason
            }
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn a_file_that_does_not_hold_is_refused_with_line_and_reason() {
        let good = examples().lines().next().unwrap();
        let second = examples().lines().nth(1).unwrap();
        assert_eq!(parse_events(b""), Err(EventsError::Empty));
        assert!(matches!(refused(&format!("{good}\n{good}")), LineError::Twice { first: 1, .. }));
        assert_eq!(
            refused(&format!("{good}\n{}", &second[..60])),
            LineError::Json(StrictError::CutShort)
        );
        assert_eq!(refused(&format!("{good}\n ")), LineError::Blank);
        for (from, to, says) in [
            ("\"version\":1", "\"version\":1.0", "fraction"),
            ("\"version\":1", "\"version\":99999999999999999999", "fraction"),
            ("\"wall_ms\":1790", "\"wall_ms\":17900000", "too large"),
            ("\"person\":\"lw-a\"", "\"person\":\"lw-a\",\"person\":\"lw-b\"", "twice"),
            ("\"person\":\"lw-a\"", "\"person\":\"lw a\"", "person name"),
            ("\"person\":\"lw-a\",", "", "missing field `person`"),
            ("\"device\"", "\"gadget\"", "unknown field `gadget`"),
            ("base-line-side", "base", "is not a scope"),
            ("[", "[[[[[[[[[[[[[[[[[[[[", "too deep"),
            ("V014", &"V".repeat(5000), "too long"),
        ] {
            let text = good.replacen(from, to, 1);
            assert_ne!(text, good);
            let reason = refused(&text).to_string();
            assert!(reason.contains(says), "{reason}");
        }
        let long = good.replace("corroded", &"c".repeat(70_000));
        assert!(matches!(refused(&long), LineError::TooLong { .. }));
        let many = format!("[{}]", "1,".repeat(1200) + "1");
        assert!(refused(&many).to_string().contains("at most 1000"));
        let mut bytes = good.as_bytes().to_vec();
        bytes[40] = 0xff;
        assert!(matches!(
            parse_events(&bytes),
            Err(EventsError::Line { line: 1, reason: LineError::NotText { byte: 40 } })
        ));
    }

    #[test]
    fn an_unknown_kind_or_version_is_kept_as_it_came() {
        let good = examples().lines().next().unwrap();
        for (from, to) in [("job-opened", "job-hummed"), ("\"version\":1", "\"version\":2")] {
            let text = good.replacen(from, to, 1);
            let events = parse_events(text.as_bytes()).unwrap();
            assert!(matches!(events[0].body, Body::Unknown { .. }));
            assert_eq!(
                serde_json::to_value(&events[0]).unwrap(),
                serde_json::from_str::<serde_json::Value>(&text).unwrap()
            );
        }
    }

    #[test]
    fn the_sealed_code_of_the_example_opens() {
        let find = |kind: &str| lines().into_iter().find(|e| e.body.kind() == kind).unwrap().body;
        let Body::SwitchingRunBegun(begun) = find("switching-run-begun") else { panic!() };
        let Body::SwitchingRunEnded(ended) = find("switching-run-ended") else { panic!() };
        assert_eq!(crate::sighting::seal(&ended.code, &ended.salt), begun.sealed.to_string());
    }

    #[test]
    fn an_entry_made_late_has_no_known_age() {
        let late = lines().pop().unwrap();
        assert!(late.late_wall_ms.is_some());
        assert_eq!(late.at.age_of(&late.when()), crate::quantity::Age::Unknown);
    }

    #[test]
    fn the_schema_names_every_kind() {
        let schema = crate::event::schema();
        let named: Vec<_> = schema["oneOf"]
            .as_array()
            .unwrap()
            .iter()
            .map(|kind| kind["properties"]["kind"]["const"].as_str().unwrap().to_owned())
            .collect();
        assert_eq!(named, KINDS);
    }

    proptest::proptest! {
        #[test]
        fn no_bytes_make_it_panic(bytes in proptest::collection::vec(0_u8.., 0..400)) {
            let _ = parse_events(&bytes);
        }

        #[test]
        fn no_damage_makes_it_panic(line in 0_usize..35, at in 0_usize..2000, byte in 0_u8..) {
            let mut bytes = examples().lines().nth(line).unwrap_or("{}").as_bytes().to_vec();
            let place = at % bytes.len();
            bytes[place] = byte;
            let _ = parse_events(&bytes);
            bytes.truncate(place);
            proptest::prop_assert!(parse_events(&bytes).is_err());
        }
    }
}
