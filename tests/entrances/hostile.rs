//! Files nobody would write by mistake.

use std::fs::File;

use coldlug_tests::places;

use super::entrance::ALL;

#[test]
fn nothing_at_all() {
    for entrance in ALL {
        // An empty rule sheet is one that keeps every default, except its format line.
        entrance.refuses("empty", b"");
        entrance.refuses("a blank", b" \n");
        entrance.refuses("one brace", b"{");
        entrance.refuses("another kind of file", b"%PDF-1.7\n");
    }
}

#[test]
fn nested_beyond_any_stack() {
    for entrance in ALL {
        let deep = "[".repeat(200_000);
        entrance.refuses("deep arrays", deep.as_bytes());
        let deep = "{\"a\":".repeat(200_000);
        entrance.refuses("deep objects", deep.as_bytes());
        let deep = format!("a = {}", "[".repeat(200_000));
        entrance.refuses("deep values", deep.as_bytes());
    }
}

#[test]
fn numbers_beyond_any_range() {
    for entrance in ALL {
        entrance.refuses("a huge number", b"{\"format\": 1e999, \"coldlug_map_sheet\": 1e999}\n");
        let digits = format!("{{\"format\": {}}}\n", "9".repeat(100_000));
        entrance.refuses("endless digits", digits.as_bytes());
    }
}

#[test]
fn larger_than_any_file_of_its_kind() {
    // A gigabyte of nothing: sparse, so it costs no disk. It is refused by its size.
    let path = places::scratch().join("gigabyte");
    let file = File::create(&path).expect("a file below the build folder");
    file.set_len(1 << 30).expect("a sparse file");
    for entrance in ALL {
        let answer = entrance.ask(&path);
        entrance.is_refusal("a gigabyte", &answer);
    }
    std::fs::remove_file(&path).expect("removed");
}

#[test]
fn no_file_and_no_file_but_a_folder() {
    for entrance in ALL {
        for path in [places::scratch().join("not-there"), places::root().join("core")] {
            let answer = entrance.ask(&path);
            entrance.is_refusal("not a file", &answer);
            let name = path.file_name().and_then(|name| name.to_str()).expect("a name");
            assert!(answer.says(name), "does not name {name}: {}", answer.said);
        }
    }
}
