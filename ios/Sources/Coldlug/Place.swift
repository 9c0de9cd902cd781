/// Where a person is in the app. It is kept by the system, so that they are there again after the
/// app was ended behind their back.
public enum Place: Codable, Hashable, Sendable {
    /// At the list of jobs.
    case jobs
    /// At the screen of a job.
    case job(String)
}

extension Place {
    /// As text, for what the system keeps of a scene.
    public var text: String {
        switch self {
        case .jobs: ""
        case .job(let job): job
        }
    }

    /// From that text. No job has an empty name.
    public init(text: String) {
        self = text.isEmpty ? .jobs : .job(text)
    }
}
