import ColdlugCore
import Foundation
import Observation

/// What one person sees and does on this phone. Views draw it and call it; core decides.
@MainActor @Observable
public final class Work {
    /// Where the person is.
    public private(set) var place: Place
    /// The screen there; none: it is being read.
    public private(set) var shown: Shown?
    /// The page that is read in place of the screen; none: the screen itself.
    public private(set) var page: PageShown?
    /// The act being filled in.
    public private(set) var entry: Entry?
    /// Why the last thing was not done.
    public private(set) var trouble: Trouble?
    /// Whether something is being written; its button waits.
    public private(set) var isWriting = false
    /// Whether this phone is talking to the desk.
    public private(set) var isTalking = false
    /// What the last talk with the desk left for somebody to see to.
    public private(set) var problems: [Sentence] = []
    /// Who carries this phone; none: it is not enrolled.
    public private(set) var person: String?

    private var words: [Label: Sentence] = [:]
    /// Which page is read.
    private var reading: Page?
    private let core: Core
    private let transport: any Transport
    /// Whether the app was put to sleep and is not awake again.
    private var isAsleep = false
    /// Counts what was asked to be drawn, so that a late answer does not overwrite a newer one.
    private var asked = 0

    /// At the list of jobs, with nothing read yet.
    public init(_ phone: Phone, by transport: any Transport) {
        core = Core(phone)
        self.transport = transport
        place = .jobs
    }

    /// Reads what is the same all day, then the screen where the person was.
    public func begin(at place: Place = .jobs) async {
        self.place = place
        if case .success(let (words, person)) = await core.call({
            ($0.labels(), $0.enrolment()?.person)
        }) {
            self.words = words
            self.person = person
        }
        await draw()
    }

    /// What stands on one of our own keys.
    public func word(_ label: Label) -> Sentence {
        words[label] ?? Sentence(id: "", text: "", spoken: "")
    }

    /// Draws the place anew. A job that is not there any more leads back to the list.
    public func draw() async {
        asked += 1
        let (turn, place, person) = (asked, place, person ?? "")
        let answer: Result<Shown, PhoneError>
        switch place {
        case .jobs: answer = await core.call { try $0.jobs() }
        case .job(let job): answer = await core.call { try $0.screen(job: job, person: person) }
        }
        let page = await readPage()
        guard turn == asked else { return }
        self.page = page
        switch answer {
        case .success(let shown):
            self.shown = shown
        case .failure(let error):
            trouble = Trouble(error)
            if case .NoSuchJob = error { await go(to: .jobs, keeping: trouble) }
        }
    }

    /// The page that is read, as it is now; none: none is, or it cannot be drawn, which is said.
    private func readPage() async -> PageShown? {
        guard let reading, case .job(let job) = place else { return nil }
        let person = person ?? ""
        switch await core.call({ try $0.page(job: job, person: person, page: reading) }) {
        case .success(let page):
            return page
        case .failure(let error):
            trouble = Trouble(error)
            return nil
        }
    }

    /// To a page of the job.
    public func read(_ page: Page) async {
        trouble = nil
        reading = page
        await draw()
    }

    /// To the screen of a job.
    public func open(_ job: String) async {
        await go(to: .job(job))
    }

    /// One step back: from an ask to the one before, out of an act, out of a page, out of a job.
    public func back() async {
        if var entry {
            self.entry = entry.back() ? entry : nil
        } else if reading != nil {
            (reading, page) = (nil, nil)
        } else {
            await go(to: .jobs)
        }
    }

    /// Takes up an act.
    public func take(_ offer: Offer) {
        trouble = nil
        entry = Entry(offer)
    }

    /// Changes what was answered so far.
    public func answer(_ change: (inout Entry) -> Void) {
        guard var entry, !isWriting else { return }
        change(&entry)
        self.entry = entry
    }

    /// Writes the act down with what was answered. Done: the screen is drawn anew. Not done: it is
    /// said why, and what was typed stays.
    public func write() async {
        guard let entry, let person, case .job(let job) = place, !isWriting else { return }
        isWriting = true
        trouble = nil
        let (act, answers) = (entry.offer.act, entry.answers)
        let done = await core.call { phone in
            let draft = try phone.draft(job: job, person: person, act: act, answers: answers)
            return try phone.act(job: job, person: person, statements: draft.statements)
        }
        isWriting = false
        switch done {
        case .success:
            self.entry = nil
            await draw()
        case .failure(.Unfit(let field, let said)):
            answer { $0.doubt(Entry.Unfit(field: field, said: said)) }
        case .failure(let error):
            trouble = Trouble(error)
        }
    }

    /// Keeps a picture for the ask that is open, and answers it with what that gave.
    public func picture(_ bytes: Data, for ask: Ask) async {
        guard case .job(let job) = place else { return }
        switch await core.call({ try $0.photo(job: job, bytes: bytes) }) {
        case .success(let hash): answer { $0.set(hash, for: ask) }
        case .failure(let error): trouble = Trouble(error)
        }
    }

    /// Enrols this phone by what the dispatcher's code says, and fetches its jobs.
    public func enrol(_ text: String) async {
        let transport = transport
        let done = await talk { phone in
            try phone.enrol(invitation: readInvitation(text: text), transport: transport).person
        }
        guard let done else { return }
        person = done
        await sync()
    }

    /// Exchanges with the desk.
    public func sync() async {
        let transport = transport
        if let report = await talk({ try $0.sync(transport: transport) }) {
            problems = report.problems.map(\.said)
        }
        await draw()
    }

    private func talk<Answer: Sendable>(
        _ call: @escaping @Sendable (Phone) throws -> Answer
    ) async -> Answer? {
        guard !isTalking else { return nil }
        (isTalking, trouble) = (true, nil)
        let answer = await core.talk(call)
        isTalking = false
        switch answer {
        case .success(let answer):
            return answer
        case .failure(let error):
            trouble = Trouble(error)
            return nil
        }
    }

    /// The app goes to sleep: everything is in the store, and the store is let go.
    public func sleep() async {
        isAsleep = true
        if case .failure(let error) = await core.call({ try $0.suspend() }) {
            trouble = Trouble(error)
        }
    }

    /// The app is in front again. After a sleep the world may have changed; without one, as when it
    /// begins or something only lay over it, nothing has, and what was said stays said.
    public func wake() async {
        guard isAsleep else { return }
        // Before the call: who falls asleep again meanwhile stays asleep.
        isAsleep = false
        trouble = nil
        if case .failure(let error) = await core.call({ try $0.resume() }) {
            isAsleep = true
            trouble = Trouble(error)
        }
        await draw()
    }

    /// What was not done was read.
    public func dismiss() {
        trouble = nil
    }

    private func go(to place: Place, keeping trouble: Trouble? = nil) async {
        self.place = place
        self.trouble = trouble
        (shown, entry, reading, page) = (nil, nil, nil, nil)
        await draw()
    }
}
