import Coldlug
import ColdlugCore
import XCTest

/// Each tone, standing and point has a shape of its own.
final class MarkTests: XCTestCase {
    func testShapesDiffer() {
        let tones = [Tone.go, .stop, .wait, .rest].map(Mark.init(of:))
        XCTAssertEqual(Set(tones).count, tones.count)
        let standings = [Standing.agrees, .contradicts, .unsettled].map(Mark.init(of:))
        XCTAssertEqual(Set(standings).count, standings.count)
        let points = [true, false, nil].map(Mark.init(fits:))
        XCTAssertEqual(Set(points).count, points.count)
    }

    func testAGloveHitsEverything() {
        // The least that rubber gloves hit, and the least between two: common practice, no source.
        XCTAssertGreaterThanOrEqual(Reach.target, 56)
        XCTAssertGreaterThanOrEqual(Reach.big, Reach.target)
        XCTAssertGreaterThanOrEqual(Reach.gap, 8)
    }

    func testAPlaceIsFoundAgainByItsText() {
        for place in [Place.jobs, .job("J-0417")] {
            XCTAssertEqual(Place(text: place.text), place)
        }
    }
}
