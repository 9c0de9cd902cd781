import ColdlugCore

/// Why something was not done, in core's words.
public struct Trouble: Equatable, Sendable {
    /// What to show and to speak.
    public let said: Sentence
    /// What is missing or in the way, by name.
    public let which: [String]

    /// From what a call threw.
    public init(_ error: PhoneError) {
        switch error {
        case .Refused(_, let said, let which):
            self.init(said: said, which: which)
        case .Unfit(_, let said), .NoSuchJob(let said), .NoPicture(let said),
            .Invalid(_, _, let said), .NotEnrolled(let said), .Busy(let said),
            .Offline(_, let said), .NotTaken(_, let said), .NotTheDesk(let said),
            .StorageFull(let said), .Corrupt(_, let said), .Asleep(let said), .Closed(let said),
            .Internal(_, let said):
            self.init(said: said, which: [])
        }
    }

    private init(said: Sentence, which: [String]) {
        self.said = said
        self.which = which
    }
}
