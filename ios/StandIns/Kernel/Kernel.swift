// Test aid, not shipped: the kernel calls of Apple's systems that the app uses, so that it is
// type-checked on Linux. They answer nothing.

public struct mach_timebase_info_data_t {
    public var numer: UInt32 = 1
    public var denom: UInt32 = 1
    public init() {}
}

@discardableResult
public func mach_timebase_info(_ info: UnsafeMutablePointer<mach_timebase_info_data_t>) -> Int32 { 0 }

public func mach_continuous_time() -> UInt64 { 0 }

public func sysctlbyname(
    _ name: UnsafePointer<CChar>?,
    _ old: UnsafeMutableRawPointer?,
    _ oldSize: UnsafeMutablePointer<Int>?,
    _ new: UnsafeMutableRawPointer?,
    _ newSize: Int
) -> Int32 { -1 }
