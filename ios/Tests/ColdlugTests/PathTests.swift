import Coldlug
import ColdlugCore
import XCTest

/// The way a thumb goes, on the real core with its real store: list, ledger, settling test, reading.
@MainActor
final class PathTests: XCTestCase, @unchecked Sendable {
    private let job = "J-0417"

    /// Gives the first answer that an ask takes.
    private func answer(_ ask: Ask, in work: Work, number: String) {
        switch ask.kind {
        case .number:
            var typed = Typed()
            for digit in number { typed.press(digit == "." ? .point : .digit(digit)) }
            work.answer { $0.set(typed.text, for: ask) }
        case .text: work.answer { $0.set("A1", for: ask) }
        case .one(let choices): work.answer { $0.set(choices.first?.value ?? "", for: ask) }
        case .several(let choices):
            if let first = choices.first { work.answer { $0.toggle(first, for: ask) } }
        case .yesNo: work.answer { $0.set("yes", for: ask) }
        case .photo: XCTFail("no picture is asked for on this way")
        }
    }

    private func fill(_ work: Work, number: String = "1") {
        while let ask = work.entry?.ask {
            answer(ask, in: work, number: number)
            XCTAssertEqual(work.entry?.mayPass(ask), true)
            work.answer { $0.next() }
        }
    }

    private func ledger(_ work: Work) -> Judgement? {
        if case .ledger(let judgement) = work.shown?.screen { judgement } else { nil }
    }

    func testListLedgerSettlingTest() async throws {
        let ready = try Ready()
        defer { ready.remove() }
        let work = await ready.work(try ready.phone())
        guard case .jobList(let jobs) = work.shown?.screen else { return XCTFail("no list") }
        XCTAssertEqual(jobs.map(\.job), [job, "J-0418"])
        XCTAssertTrue(jobs.allSatisfy { !$0.physical.text.isEmpty && !$0.stage.spoken.isEmpty })

        await work.open(job)
        let shown = try XCTUnwrap(work.shown)
        let judgement = try XCTUnwrap(ledger(work))
        XCTAssertFalse(shown.physical.isEmpty)
        XCTAssertEqual(shown.headline, judgement.sentence)
        XCTAssertEqual(Mark(of: shown.tone), .half)
        XCTAssertFalse(judgement.ledger.isEmpty)

        // What would settle it stands on top, and the act that leads on is the first.
        let test = try XCTUnwrap(judgement.settlingTests.first)
        let first = try XCTUnwrap(shown.acts.first)
        XCTAssertFalse(test.sentence.text.isEmpty)
        XCTAssertTrue(first.permitted)
        work.take(first)
        fill(work)
        XCTAssertEqual(work.entry?.isWhole, true)
        await work.write()
        XCTAssertNil(work.trouble, "\(String(describing: work.trouble))")
        XCTAssertNil(work.entry)
        XCTAssertNotEqual(work.shown, shown, "the screen is drawn anew")
    }

    func testThePlanIsReadAndLeadsBackToTheScreen() async throws {
        let ready = try Ready()
        defer { ready.remove() }
        let work = await ready.work(try ready.phone(), at: .job(job))
        let keys = try XCTUnwrap(work.shown?.pages)
        XCTAssertEqual(keys.map(\.page), [.reasons, .plan, .faultCurrent])
        XCTAssertTrue(keys.allSatisfy { !$0.label.text.isEmpty })
        await work.read(.plan)
        let plan = try XCTUnwrap(work.page)
        let drawing = try XCTUnwrap(plan.diagram)
        XCTAssertTrue(drawing.spoken.hasPrefix(plan.headline.spoken), drawing.spoken)
        XCTAssertFalse(drawing.marks.isEmpty)
        await work.back()
        XCTAssertNil(work.page)
        XCTAssertEqual(work.place, .job(job))
        for page in [Page.faultCurrent, .reasons] {
            await work.read(page)
            XCTAssertNil(work.page?.diagram)
            XCTAssertEqual(work.page?.passages.isEmpty, false)
            await work.back()
        }
    }

    func testAReadingIsRefusedWithItsReasonAndThenTaken() async throws {
        let ready = try Ready()
        defer { ready.remove() }
        let work = await ready.work(try ready.phone(), at: .job(job))
        let before = try XCTUnwrap(ledger(work))
        // Amps on a leg: set, leg and clamp are chosen, the number is typed.
        let readings = work.shown?.acts.filter { $0.act == .readAmps }
        let offer = try XCTUnwrap(readings?.first)
        let numbers = offer.asks.filter(isNumber)
        let reading = try XCTUnwrap(numbers.first)

        // Not a number: core says so, and the person stands at that field again.
        work.take(offer)
        fill(work, number: ".")
        await work.write()
        XCTAssertNil(work.trouble)
        XCTAssertEqual(work.entry?.unfit?.field, reading.field)
        XCTAssertEqual(work.entry?.unfit?.said.text.isEmpty, false)
        XCTAssertEqual(work.entry?.ask, reading)

        // As the display shows it: taken, and on record.
        var typed = Typed(work.entry?.value(of: reading) ?? "")
        for key in [PadKey.delete, .digit("4"), .point, .digit("2")] { typed.press(key) }
        work.answer { $0.set(typed.text, for: reading) }
        XCTAssertEqual(work.entry?.isWhole, true)
        await work.write()
        XCTAssertNil(work.trouble, "\(String(describing: work.trouble))")
        XCTAssertNil(work.entry)
        XCTAssertNotEqual(ledger(work), before)
    }

    func testWhatARuleRefusesIsNotWrittenAndWhatWasTypedStays() async throws {
        let ready = try Ready()
        defer { ready.remove() }
        let work = await ready.work(try ready.phone(), at: .job(job))
        let before = work.shown
        // Nothing is identified yet.
        let lifts = work.shown?.acts.filter { $0.act == .lift }
        work.take(try XCTUnwrap(lifts?.first))
        fill(work)
        let typed = work.entry
        await work.write()
        let trouble = try XCTUnwrap(work.trouble)
        XCTAssertEqual(trouble.said.id, "questions-before-lift")
        XCTAssertFalse(trouble.said.spoken.isEmpty)
        XCTAssertFalse(trouble.which.isEmpty)
        XCTAssertEqual(work.entry, typed)
        await work.draw()
        XCTAssertEqual(work.shown, before)
        await work.back()
        XCTAssertEqual(work.place, .job(job))
    }

    private nonisolated func isNumber(_ ask: Ask) -> Bool {
        if case .number = ask.kind { true } else { false }
    }

    func testWhatIsWrittenSurvivesAKillAndThePlaceIsFoundAgain() async throws {
        let ready = try Ready()
        defer { ready.remove() }
        let work = await ready.work(try ready.phone(), at: .job(job))
        work.take(try XCTUnwrap(work.shown?.acts.first))
        fill(work)
        await work.write()
        let shown = try XCTUnwrap(work.shown)
        // Nothing is closed: this is how an app ends in a pocket.
        let place = Place(text: work.place.text)
        let again = await ready.work(try ready.phone(), at: place)
        XCTAssertEqual(again.place, .job(job))
        XCTAssertEqual(again.shown?.physical, shown.physical)
        XCTAssertEqual(again.shown?.headline, shown.headline)
    }

    func testAsleepAndAwakeAgain() async throws {
        let ready = try Ready()
        defer { ready.remove() }
        let work = await ready.work(try ready.phone(), at: .job(job))
        let shown = work.shown
        await work.sleep()
        await work.draw()
        XCTAssertNotNil(work.trouble, "a phone that sleeps says so")
        await work.wake()
        XCTAssertEqual(work.place, .job(job))
        XCTAssertNil(work.trouble)
        XCTAssertEqual(work.shown?.headline, shown?.headline)
    }

    func testWhoDidNotSleepIsNotWoken() async throws {
        let ready = try Ready()
        defer { ready.remove() }
        let work = await ready.work(try ready.phone(), at: .job(job))
        await work.sync()
        let (trouble, shown) = (try XCTUnwrap(work.trouble), work.shown)
        await work.wake()
        XCTAssertEqual(work.trouble, trouble, "what was said and not read yet stays")
        XCTAssertEqual(work.shown, shown)
    }

    func testWithoutADeskThePhoneSaysSoAndGoesOn() async throws {
        let ready = try Ready()
        defer { ready.remove() }
        let work = await ready.work(try ready.phone())
        await work.sync()
        XCTAssertNotNil(work.trouble)
        XCTAssertFalse(work.isTalking)
        work.dismiss()
        XCTAssertNil(work.trouble)
        XCTAssertNotNil(work.shown)
    }

    func testAJobThatIsNotHereLeadsBackToTheList() async throws {
        let ready = try Ready()
        defer { ready.remove() }
        let work = await ready.work(try ready.phone(), at: .job("J-9999"))
        XCTAssertEqual(work.place, .jobs)
        XCTAssertNotNil(work.trouble)
        XCTAssertNotNil(work.shown)
    }

    func testEveryKeyOfOursHasItsWords() async throws {
        let ready = try Ready()
        defer { ready.remove() }
        let work = await ready.work(try ready.phone())
        for label in [Label.back, .next, .delete, .point, .minus, .yes, .no, .notDone, .settle] {
            XCTAssertFalse(work.word(label).spoken.isEmpty, "\(label)")
        }
    }
}
