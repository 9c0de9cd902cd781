import ColdlugCore
import Foundation

#if canImport(FoundationNetworking)
import FoundationNetworking
#endif

/// The way to the desk: no redirect is followed, and nothing is kept on disk.
public final class DeskTransport: Transport, Sendable {
    /// Longest wait for a desk that does not answer, in seconds.
    private static let patience: TimeInterval = 60

    private let session: URLSession

    /// A way of its own, with nothing left from others.
    public init() {
        let settings = URLSessionConfiguration.ephemeral
        settings.timeoutIntervalForRequest = Self.patience
        session = URLSession(configuration: settings, delegate: Straight(), delegateQueue: nil)
    }

    public func send(url: String, body: Data) throws -> Reply {
        guard let address = URL(string: url) else { throw PortError.Failed(reason: "no address") }
        var request = URLRequest(url: address)
        request.httpMethod = "POST"
        request.setValue("application/octet-stream", forHTTPHeaderField: "Content-Type")
        request.httpBody = body
        let (answer, done) = (Box(), DispatchSemaphore(value: 0))
        let task = session.dataTask(with: request) { data, response, error in
            answer.put(data, response, error)
            done.signal()
        }
        task.resume()
        done.wait()
        return try answer.take()
    }
}

/// Follows nothing: an answer from elsewhere is not the desk's.
private final class Straight: NSObject, URLSessionTaskDelegate {
    func urlSession(
        _ session: URLSession,
        task: URLSessionTask,
        willPerformHTTPRedirection response: HTTPURLResponse,
        newRequest request: URLRequest,
        completionHandler: @escaping @Sendable (URLRequest?) -> Void
    ) {
        completionHandler(nil)
    }
}

/// What came back, handed from the session's thread to the one that waits for it. The semaphore
/// between them orders the two.
private final class Box: @unchecked Sendable {
    private var answer: Result<Reply, PortError> = .failure(.Failed(reason: "no answer"))

    func put(_ data: Data?, _ response: URLResponse?, _ error: (any Error)?) {
        if let response = response as? HTTPURLResponse {
            let status = UInt16(clamping: response.statusCode)
            answer = .success(Reply(status: status, body: data ?? Data()))
        } else if let error {
            answer = .failure(.Failed(reason: error.localizedDescription))
        }
    }

    func take() throws -> Reply {
        try answer.get()
    }
}
