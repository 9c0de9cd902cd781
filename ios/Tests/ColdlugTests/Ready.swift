import Coldlug
import ColdlugCore
import Foundation
import XCTest

/// A phone's folder with jobs on it, as a desk and a briefing left it, copied for one test.
struct Ready {
    let folder: URL

    init() throws {
        let package = URL(fileURLWithPath: #filePath)
            .deletingLastPathComponent().deletingLastPathComponent().deletingLastPathComponent()
        let files = FileManager.default
        folder = files.temporaryDirectory.appendingPathComponent(UUID().uuidString)
        try files.copyItem(at: package.appendingPathComponent("ready"), to: folder)
    }

    /// Opens the phone as an app would, with a clock and a key store of the test's own.
    func phone() throws -> Phone {
        let seed = try String(contentsOf: folder.appendingPathComponent("seed"), encoding: .utf8)
        return try Phone.open(folder: folder.path, clock: TestClock(), keys: TestKeys(seed))
    }

    /// A person's work on it, begun.
    @MainActor func work(_ phone: Phone, at place: Place = .jobs) async -> Work {
        let work = Work(phone, by: NoAir())
        await work.begin(at: place)
        return work
    }

    func remove() {
        try? FileManager.default.removeItem(at: folder)
    }
}

/// Test aid: an hour after the folder was made, and a second later at every look.
final class TestClock: Clock, @unchecked Sendable {
    private let lock = NSLock()
    private var looks: Int64 = 0

    func now() -> Moment {
        lock.lock()
        defer { lock.unlock() }
        looks += 1
        let ms = (3600 + looks) * 1000
        return Moment(wallMs: 1_790_000_000_000 + ms, boot: "phone-a/1", monoMs: ms)
    }
}

/// Test aid: the seed that lies beside the store. It protects nothing.
final class TestKeys: Keys, Sendable {
    private let kept: Data

    init(_ hex: String) {
        let digits = Array(hex.trimmingCharacters(in: .whitespacesAndNewlines))
        kept = Data(stride(from: 0, to: digits.count, by: 2).compactMap {
            UInt8(String(digits[$0...$0 + 1]), radix: 16)
        })
    }

    func seed() -> Data? { kept }
    func keep(seed: Data) throws { throw PortError.Failed(reason: "the seed is fixed") }
    func random(count: UInt32) -> Data { Data(repeating: 9, count: Int(count)) }
}

/// Test aid: no desk within reach.
final class NoAir: Transport, Sendable {
    func send(url: String, body: Data) throws -> Reply {
        throw PortError.Failed(reason: "out of reach")
    }
}
