//! Every part of `cargo verify`, in the order in which they run: the quick and telling ones first.

use super::part::{Need, Part, Step};

/// The program that the parts below start must be today's.
const PROGRAM: Step =
    Step::cargo(&["build", "--locked", "--package=coldlug-terminal", "--bin=coldlug"]);

/// The same, for parts that run it often.
const FAST_PROGRAM: Step = PROGRAM.optimised();

/// The phone's library for this machine, and what a job on a phone's folder is made with.
const PHONE: Step = Step::cargo(&[
    "build",
    "--locked",
    "--package=coldlug-phone",
    "--lib",
    "--example=ready_folder",
]);

/// The crate that writes bindings turns on `UniFFI`'s command line, and cargo gives a feature to all
/// that are built together. It has one line of code, and is built by the parts that write bindings.
const NO_BINDGEN: &str = "--exclude=coldlug-bindgen";

/// All parts.
pub(crate) const PARTS: &[Part] = &[
    Part {
        name: "format",
        does: "the sources are formatted as rustfmt.toml says",
        needs: &[],
        steps: &[Step::cargo(&["fmt", "--all", "--check"])],
    },
    Part {
        name: "lint",
        does: "clippy, pedantic and the workspace's own lints, warnings are errors",
        needs: &[],
        steps: &[Step::cargo(&[
            "clippy",
            "--workspace",
            NO_BINDGEN,
            "--all-targets",
            "--locked",
            "--",
            "--deny=warnings",
        ])],
    },
    Part {
        name: "tests",
        does: "unit, property and integration tests beside the code of every crate",
        needs: &[],
        // The tests crate turns on core's test-only feature, so it is built apart: the crates'
        // own tests run on what ships.
        steps: &[
            Step::tests(&[
                "test",
                "--workspace",
                "--exclude=coldlug-tests",
                NO_BINDGEN,
                "--locked",
            ]),
            Step::tests(&["test", "--package=coldlug-tests", "--lib", "--bins", "--locked"]),
        ],
    },
    Part {
        name: "docs",
        does: "every public item is documented and every link in the docs leads somewhere",
        needs: &[],
        steps: &[Step::cargo(&["doc", "--workspace", NO_BINDGEN, "--no-deps", "--locked"])
            .with(&[("RUSTDOCFLAGS", "--deny=warnings")])],
    },
    Part {
        name: "house",
        does: "the order of modules, what may depend on what, file sizes, forbidden words",
        needs: &[],
        steps: &[
            PROGRAM,
            Step::tests(&["test", "--package=coldlug-tests", "--test=house", "--locked"]),
        ],
    },
    Part {
        name: "parity",
        does: "phones, pages and terminal draw what core lists, and decide nothing themselves",
        needs: &[],
        steps: &[Step::tests(&["test", "--package=coldlug-tests", "--test=parity", "--locked"])],
    },
    Part {
        name: "workflows",
        does: "the workflow that makes a release on hosted machines is well formed",
        needs: &[Need::Actionlint],
        steps: &[Step::actionlint(&[".github/workflows/release.yml"])],
    },
    Part {
        name: "demo",
        does: "both jobs of the demo end as they should; the same seed gives the same bytes",
        needs: &[],
        steps: &[
            Step::cargo(&["demo", "--", "--once", "--seed", "1"]),
            Step::tests(&["test", "--package=coldlug-tests", "--test=demo", "--locked"]),
        ],
    },
    Part {
        name: "entrances",
        does: "map, events, rules and record: damaged or hostile, each refused with place and reason",
        needs: &[],
        steps: &[
            PROGRAM,
            Step::tests(&["test", "--package=coldlug-tests", "--test=entrances", "--locked"]),
        ],
    },
    Part {
        name: "fuzz",
        does: "tags, readings, events, entries, rule and map sheets, damaged at random: nothing panics",
        needs: &[],
        steps: &[Step::tests(&["test", "--package=coldlug-tests", "--test=fuzz", "--locked"])],
    },
    Part {
        name: "kill",
        does: "the demo, desk and phones, killed at 50 seeded points and run again: nothing kept is lost",
        needs: &[],
        steps: &[
            FAST_PROGRAM,
            Step::tests(&["test", "--package=coldlug-tests", "--test=kill", "--locked"]),
        ],
    },
    Part {
        name: "browser",
        does: "the desk's pages in a real browser: both widths, light and dark, a way through, axe",
        needs: &[Need::Browser],
        steps: &[
            PROGRAM,
            Step::cargo(&["run", "--locked", "--package=coldlug-desk", "--example=gallery"]),
            Step::node(&[
                "--test",
                "--test-concurrency=1",
                "--test-timeout=600000",
                "--test-reporter=./closing.mjs",
            ]),
        ],
    },
    Part {
        name: "python",
        does: "the phone's generated Python against a real desk; both killed at seeded points",
        needs: &[Need::Venv],
        steps: &[
            PROGRAM,
            PHONE,
            Step::cargo(&[
                "build",
                "--locked",
                "--package=coldlug-desk",
                "--example=scripted_desk",
            ]),
            Step::bindings(&["python"]),
            Step::pytest(&["-m", "pytest", "-q", "-p", "no:cacheprovider", "-rs", "tests/python"]),
        ],
    },
    Part {
        name: "theorem",
        does: "no made-up world with tolerated faults ends in a wrong identification (optimised, many cases)",
        needs: &[],
        steps: &[Step::tests(&[
            "test",
            "--package=coldlug-tests",
            "--test=theorem",
            "--locked",
            "--",
            "--nocapture",
        ])
        .optimised()
        .with(&[("COLDLUG_PLAYS", "2000")])],
    },
    Part {
        name: "plans",
        does: "on 10,000 random networks the plan is the best of all and holds step by step",
        needs: &[],
        steps: &[Step::tests(&[
            "test",
            "--package=coldlug-tests",
            "--test=plans",
            "--locked",
            "--",
            "--nocapture",
        ])
        .with(&[("COLDLUG_NETWORKS", "10000")])],
    },
    Part {
        name: "satisfiable",
        does: "in every solvable made-up field two people with one clamp come to an identification",
        needs: &[],
        steps: &[Step::tests(&[
            "test",
            "--package=coldlug-tests",
            "--test=satisfiable",
            "--locked",
            "--",
            "--nocapture",
        ])
        .optimised()
        .with(&[("COLDLUG_JOBS", "1000")])],
    },
    Part {
        name: "mutants",
        does: "each condition of the identification rule left out once: the theorem's test catches it",
        needs: &[],
        steps: &[Step::tests(&[
            "test",
            "--package=coldlug-tests",
            "--test=mutants",
            "--locked",
            "--",
            "--nocapture",
        ])
        .optimised()],
    },
    Part {
        name: "explain",
        does: "a record's one mistake is found again among the explanations with the fewest false claims",
        needs: &[],
        steps: &[Step::tests(&[
            "test",
            "--package=coldlug-tests",
            "--test=explain",
            "--locked",
            "--",
            "--nocapture",
        ])
        .optimised()
        .with(&[("COLDLUG_WORLDS", "200")])],
    },
    Part {
        name: "simulate",
        does: "ten thousand simulated jobs: no wrong service opened, no false proof of dead, enough finish",
        needs: &[],
        steps: &[
            FAST_PROGRAM,
            Step::tests(&[
                "test",
                "--package=coldlug-tests",
                "--test=simulate",
                "--locked",
                "--",
                "--nocapture",
            ]),
        ],
    },
    Part {
        name: "references",
        does: "the program's numbers against outside engines and printed tables",
        needs: &[Need::Venv],
        steps: &[
            PROGRAM,
            Step::cargo(&["run", "--locked", "--package=coldlug-tests", "--example=field_cases"]),
            Step::pytest(&[
                "-m",
                "pytest",
                "-q",
                "-p",
                "no:cacheprovider",
                "-rs",
                "tests/references",
            ]),
            Step::tests(&["test", "--package=coldlug-tests", "--test=golden", "--locked"]),
        ],
    },
    Part {
        name: "open-data",
        does: "check, plan, fault current and judge on a published distribution network",
        needs: &[Need::Venv, Need::SmartDs],
        steps: &[
            PROGRAM,
            Step::tests(&["test", "--package=coldlug-tests", "--test=open_data", "--locked"])
                .optimised(),
        ],
    },
    Part {
        name: "feeders",
        does: "plans on outside feeders against minimum cuts and pandapower's search for lost supply",
        needs: &[Need::Feeders],
        steps: &[
            Step::feeder_cases(),
            Step::tests(&[
                "test",
                "--package=coldlug-tests",
                "--test=feeders",
                "--locked",
                "--",
                "--nocapture",
            ])
            .optimised(),
        ],
    },
    Part {
        name: "cross",
        does: "the phone's crate compiles for Android's and iOS's 64-bit ARM (checked, not linked)",
        needs: &[Need::CrossCompiler],
        steps: &[
            Step::cross(&[
                "check",
                "--locked",
                "--package=coldlug-phone",
                "--no-default-features",
                "-Zbuild-std",
                "--target=aarch64-linux-android",
            ]),
            Step::cross(&[
                "check",
                "--locked",
                "--package=coldlug-phone",
                "--no-default-features",
                "-Zbuild-std",
                "--target=aarch64-apple-ios",
            ]),
        ],
    },
    Part {
        name: "android",
        does: "the Android app on the host's build of the core: touched, drawn, measured, packed",
        needs: &[Need::Android],
        steps: &[PHONE, Step::bindings(&["kotlin"]), Step::android_tests(), Step::android_apk()],
    },
    Part {
        name: "swift",
        does: "the Swift package on the host's build of the core: its tests pass, its views compile",
        needs: &[Need::Swift],
        steps: &[PHONE, Step::bindings(&["swift"]), Step::swift_assemble(), Step::swift_tests()],
    },
];

/// The part with this name.
pub(crate) fn named(name: &str) -> Option<&'static Part> {
    PARTS.iter().find(|part| part.name == name)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn names_are_unique_and_every_part_has_steps() {
        let names: BTreeSet<&str> = PARTS.iter().map(|part| part.name).collect();
        assert_eq!(names.len(), PARTS.len());
        for part in PARTS {
            assert!(!part.steps.is_empty(), "{} does nothing", part.name);
            assert!(!part.does.is_empty(), "{} says nothing", part.name);
        }
    }

    #[test]
    fn a_part_asks_for_what_its_steps_start() {
        for part in PARTS {
            for need in part.steps.iter().filter_map(|step| step.program.need()) {
                assert!(part.needs.contains(&need), "{} does not ask for {need:?}", part.name);
            }
        }
    }
}
