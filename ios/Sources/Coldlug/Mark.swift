import ColdlugCore

/// The shape beside a headline or a claim, so that nothing is told by colour alone.
public enum Mark: Hashable, Sendable {
    /// Full: it stands.
    case disc
    /// Barred: it does not.
    case bar
    /// Half: nobody knows yet.
    case half
    /// Open: nothing is in doubt.
    case ring

    /// Of a screen's headline.
    public init(of tone: Tone) {
        switch tone {
        case .go: self = .disc
        case .stop: self = .bar
        case .wait: self = .half
        case .rest: self = .ring
        }
    }

    /// Of a claim of the map.
    public init(of standing: Standing) {
        switch standing {
        case .agrees: self = .disc
        case .contradicts: self = .bar
        case .unsettled: self = .half
        }
    }

    /// Of a point of a proof; none: it was not read.
    public init(fits: Bool?) {
        switch fits {
        case .some(true): self = .disc
        case .some(false): self = .bar
        case .none: self = .ring
        }
    }
}
