import Coldlug
import ColdlugCore
import XCTest

/// Answers are kept as they were given, and nothing is filled in beforehand.
final class EntryTests: XCTestCase {
    private func said(_ text: String) -> Sentence {
        Sentence(id: text, text: text, spoken: text)
    }

    private func ask(_ field: String, _ kind: AskKind, required: Bool = true) -> Ask {
        Ask(field: field, label: said(field), kind: kind, required: required)
    }

    private var choices: [Choice] {
        ["a", "b"].map { Choice(value: $0, label: said($0)) }
    }

    private var entry: Entry {
        let asks = [
            ask("number", .number(unit: "V", digits: .decimal)),
            ask("some", .several(of: choices)),
            ask("note", .text, required: false),
        ]
        return Entry(Offer(act: .readBus, deed: .measure, label: said("act"), permitted: true, asks: asks))
    }

    func testNothingIsAnsweredBeforehand() {
        XCTAssertEqual(entry.answers, [])
        XCTAssertFalse(entry.isWhole)
        XCTAssertEqual(entry.ask?.field, "number")
    }

    func testAnswersStandInTheOrderOfTheAsks() {
        var entry = entry
        let asks = entry.offer.asks
        entry.toggle(choices[1], for: asks[1])
        entry.toggle(choices[0], for: asks[1])
        entry.toggle(choices[1], for: asks[1])
        entry.set("121.4", for: asks[0])
        XCTAssertTrue(entry.isWhole)
        let want = [Answer(field: "number", value: "121.4"), Answer(field: "some", value: "a")]
        XCTAssertEqual(entry.answers, want)
        entry.set("", for: asks[0])
        XCTAssertFalse(entry.isWhole)
    }

    func testOneGoesForthAndBackAndToTheAnswerThatDoesNotFit() {
        var entry = entry
        XCTAssertFalse(entry.back())
        entry.next()
        entry.next()
        entry.next()
        entry.next()
        XCTAssertNil(entry.ask)
        entry.doubt(Entry.Unfit(field: "number", said: said("why")))
        XCTAssertEqual(entry.ask?.field, "number")
        XCTAssertNotNil(entry.unfit)
        entry.set("1", for: entry.offer.asks[0])
        XCTAssertNil(entry.unfit)
        entry.next()
        XCTAssertTrue(entry.back())
    }
}
