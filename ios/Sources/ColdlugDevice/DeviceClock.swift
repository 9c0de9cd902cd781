import ColdlugCore
import Foundation

#if os(Linux)
import Kernel
#endif

/// This device's clocks. The one that cannot be set counts while the device sleeps; which boot it
/// counts from is the kernel's own name for that boot.
public final class DeviceClock: Clock, Sendable {
    /// The clocks need nothing.
    public init() {}

    public func now() throws -> Moment {
        guard let boot = Self.boot() else {
            throw PortError.Failed(reason: "the kernel does not tell its boot")
        }
        let wall = Int64(Date().timeIntervalSince1970 * 1000)
        return Moment(wallMs: wall, boot: boot, monoMs: Self.sinceBoot())
    }

    /// Milliseconds since boot, sleep included.
    private static func sinceBoot() -> Int64 {
        var base = mach_timebase_info_data_t()
        mach_timebase_info(&base)
        // Whole numbers throughout: ticks to nanoseconds and on, without losing a digit.
        let (high, low) = mach_continuous_time().multipliedFullWidth(by: UInt64(base.numer))
        let nanoseconds = UInt64(base.denom).dividingFullWidth((high, low)).quotient
        return Int64(nanoseconds / 1_000_000)
    }

    private static func boot() -> String? {
        let name = "kern.bootsessionuuid"
        var size = 0
        guard sysctlbyname(name, nil, &size, nil, 0) == 0, size > 1 else { return nil }
        var bytes = [UInt8](repeating: 0, count: size)
        guard sysctlbyname(name, &bytes, &size, nil, 0) == 0 else { return nil }
        return String(decoding: bytes.prefix { $0 != 0 }, as: UTF8.self)
    }
}
