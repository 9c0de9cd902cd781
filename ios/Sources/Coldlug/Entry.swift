import ColdlugCore

/// An act that is being filled in: what it asks and what was answered so far.
public struct Entry: Equatable, Sendable {
    /// The act and its asks, as core offered them when the person chose it.
    public let offer: Offer
    /// Which ask is being answered, counted from nought.
    public private(set) var at: Int
    /// What core said about an answer; it stands at its field until that is changed.
    public private(set) var unfit: Unfit?
    private var answered: [String: [String]]

    /// An answer that does not fit.
    public struct Unfit: Equatable, Sendable {
        /// The field; empty: the act as a whole.
        public let field: String
        /// What is wrong, and what to do.
        public let said: Sentence

        /// As core said it.
        public init(field: String, said: Sentence) {
            self.field = field
            self.said = said
        }
    }

    /// Nothing is answered yet, and nothing is filled in beforehand.
    public init(_ offer: Offer) {
        self.offer = offer
        at = 0
        unfit = nil
        answered = [:]
    }

    /// What is asked now; none: all of it was gone through.
    public var ask: Ask? {
        offer.asks.indices.contains(at) ? offer.asks[at] : nil
    }

    /// What stands as the answer to an ask.
    public func values(of ask: Ask) -> [String] {
        answered[ask.field] ?? []
    }

    /// The one answer to an ask, or what was typed so far.
    public func value(of ask: Ask) -> String {
        values(of: ask).first ?? ""
    }

    /// Whether one may go on from an ask.
    public func mayPass(_ ask: Ask) -> Bool {
        !ask.required || !values(of: ask).isEmpty
    }

    /// Whether the act can be written as far as it is asked for.
    public var isWhole: Bool {
        offer.asks.allSatisfy(mayPass)
    }

    /// All answers, in the order of the asks.
    public var answers: [Answer] {
        offer.asks.flatMap { ask in
            values(of: ask).map { Answer(field: ask.field, value: $0) }
        }
    }

    /// Sets the one answer to an ask; empty text takes it away.
    public mutating func set(_ value: String, for ask: Ask) {
        answered[ask.field] = value.isEmpty ? nil : [value]
        settle(ask)
    }

    /// Chooses one more of several, or no longer.
    public mutating func toggle(_ choice: Choice, for ask: Ask) {
        var values = values(of: ask)
        if let index = values.firstIndex(of: choice.value) {
            values.remove(at: index)
        } else {
            values.append(choice.value)
        }
        answered[ask.field] = values.isEmpty ? nil : values
        settle(ask)
    }

    /// On to the next ask.
    public mutating func next() {
        at = min(at + 1, offer.asks.count)
    }

    /// Back to the ask before; false: there is none.
    public mutating func back() -> Bool {
        if at == 0 { return false }
        at -= 1
        return true
    }

    /// Goes to the ask whose answer does not fit.
    public mutating func doubt(_ unfit: Unfit) {
        self.unfit = unfit
        if let index = offer.asks.firstIndex(where: { $0.field == unfit.field }) {
            at = index
        }
    }

    private mutating func settle(_ ask: Ask) {
        if unfit?.field == ask.field { unfit = nil }
    }
}
