import ColdlugCore
import Dispatch

/// Calls into core, one after the other and never on the main thread: a screen that waits for a
/// store does not stand still under a finger.
struct Core: Sendable {
    private let phone: Phone
    private let line = DispatchQueue(label: "coldlug.core", qos: .userInitiated)
    /// Talking to the desk takes as long as the air takes, and holds nothing else up.
    private let air = DispatchQueue(label: "coldlug.desk", qos: .utility)

    init(_ phone: Phone) {
        self.phone = phone
    }

    /// Waits for a call.
    func call<Answer: Sendable>(
        _ call: @escaping @Sendable (Phone) throws -> Answer
    ) async -> Result<Answer, PhoneError> {
        await answer(on: line, call)
    }

    /// Waits for a call that talks to the desk.
    func talk<Answer: Sendable>(
        _ call: @escaping @Sendable (Phone) throws -> Answer
    ) async -> Result<Answer, PhoneError> {
        await answer(on: air, call)
    }

    /// Whatever a call throws beside core's own errors is a bug in the bindings, and ends the app
    /// rather than passing for an answer.
    private func answer<Answer: Sendable>(
        on line: DispatchQueue,
        _ call: @escaping @Sendable (Phone) throws -> Answer
    ) async -> Result<Answer, PhoneError> {
        let phone = phone
        return await withCheckedContinuation { continuation in
            line.async {
                do {
                    continuation.resume(returning: .success(try call(phone)))
                } catch let error as PhoneError {
                    continuation.resume(returning: .failure(error))
                } catch {
                    fatalError("\(error)")
                }
            }
        }
    }
}
