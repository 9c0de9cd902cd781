import ColdlugCore

/// A number as it is typed on our own pad. It stays text: core reads it.
public struct Typed: Equatable, Sendable {
    /// What was typed.
    public private(set) var text: String

    /// As core says it; more is ignored rather than typed for nothing.
    private static let longest = Int(mostDigits())
    private static let point: Character = "."
    private static let minus: Character = "-"

    /// Begins with what was typed before.
    public init(_ text: String = "") {
        self.text = text
    }

    /// One key of the pad.
    public mutating func press(_ key: PadKey) {
        switch key {
        case .digit(let digit):
            if digits < Self.longest { text.append(digit) }
        case .point:
            if !text.contains(Self.point) { text.append(Self.point) }
        case .minus:
            if text.first == Self.minus {
                text.removeFirst()
            } else {
                text.insert(Self.minus, at: text.startIndex)
            }
        case .delete:
            if !text.isEmpty { text.removeLast() }
        }
    }

    /// How many digits there are: neither the point nor the sign is one.
    private var digits: Int {
        text.count { $0 != Self.point && $0 != Self.minus }
    }
}

/// A key of the pad.
public enum PadKey: Hashable, Sendable {
    /// A digit.
    case digit(Character)
    /// The decimal point.
    case point
    /// Changes the sign.
    case minus
    /// Takes the last character away.
    case delete

    /// The rows of the pad that a number needs, as core says it.
    public static func rows(for digits: Digits) -> [[PadKey]] {
        let upper: [[PadKey]] = [["1", "2", "3"], ["4", "5", "6"], ["7", "8", "9"]]
            .map { row in row.map(PadKey.digit) }
        switch digits {
        case .whole: return upper + [[.digit("0"), .delete]]
        case .decimal: return upper + [[.point, .digit("0"), .delete]]
        case .signed: return upper + [[.minus, .point, .digit("0"), .delete]]
        }
    }
}
