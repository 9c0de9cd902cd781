import Coldlug
import ColdlugCore
import XCTest

/// What the pad types stays text, and every key does one thing.
final class TypedTests: XCTestCase {
    private func check(_ keys: String, _ want: String, file: StaticString = #filePath, line: UInt = #line) {
        var typed = Typed()
        for key in keys {
            switch key {
            case ".": typed.press(.point)
            case "-": typed.press(.minus)
            case "<": typed.press(.delete)
            case let digit: typed.press(.digit(digit))
            }
        }
        XCTAssertEqual(typed.text, want, file: file, line: line)
    }

    func testDigitsAndOnePointStandAsTyped() {
        check("12.40", "12.40")
        check("1.2.3", "1.23")
        check("007", "007")
    }

    func testTheSignTurnsAndTheLastCharacterGoes() {
        check("5-", "-5")
        check("-5-", "5")
        check("12<<<3", "3")
    }

    func testMoreDigitsThanCoreTakesAreNotTyped() {
        let most = Int(mostDigits())
        let nines = String(repeating: "9", count: most)
        check(nines + "9", nines)
        // Neither the point nor the sign is a digit.
        check("1." + nines + "-", "-1." + nines.dropLast())
    }

    func testThePadHasTheKeysThatANumberNeeds() {
        XCTAssertFalse(PadKey.rows(for: .whole).joined().contains(.point))
        XCTAssertFalse(PadKey.rows(for: .decimal).joined().contains(.minus))
        XCTAssertTrue(PadKey.rows(for: .signed).joined().contains(.minus))
        for digits in [Digits.whole, .decimal, .signed] {
            let keys = PadKey.rows(for: digits).joined()
            XCTAssertEqual(Set(keys).count, keys.count)
            XCTAssertTrue("0123456789".allSatisfy { keys.contains(.digit($0)) })
            XCTAssertTrue(keys.contains(.delete))
        }
    }
}
