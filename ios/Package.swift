// swift-tools-version: 6.0
import PackageDescription

// What core's Swift bindings call. On Apple's systems a framework made from the phone's static
// libraries; on Linux, where the package is tested, the library built for the host.
#if os(Linux)
let core: Target = .systemLibrary(name: "coldlug_phoneFFI", path: "Generated/coldlug_phoneFFI")
#else
let core: Target = .binaryTarget(name: "coldlug_phoneFFI", path: "Generated/coldlug_phoneFFI.xcframework")
#endif

// Test aids: they stand in for Apple's frameworks where the package is type-checked on Linux. They
// declare what the app uses, do nothing, and are part of nothing that ships.
#if os(Linux)
let standIns: [Target] = [
    .target(name: "SwiftUI", dependencies: ["UIKit"], path: "StandIns/SwiftUI"),
    .target(name: "UIKit", path: "StandIns/UIKit"),
    .target(name: "Security", path: "StandIns/Security"),
    .target(name: "Kernel", path: "StandIns/Kernel"),
    .executableTarget(name: "App", dependencies: ["ColdlugViews", "ColdlugDevice"], path: "App"),
]
let screens: [Target.Dependency] = ["SwiftUI", "UIKit"]
let device: [Target.Dependency] = ["Security", "Kernel"]
#else
let standIns: [Target] = []
let screens: [Target.Dependency] = []
let device: [Target.Dependency] = []
#endif

let package = Package(
    name: "Coldlug",
    platforms: [.iOS(.v17)],
    products: [.library(name: "Coldlug", targets: ["Coldlug", "ColdlugDevice", "ColdlugViews"])],
    targets: [
        core,
        // Generated from the phone's library; never committed.
        .target(name: "ColdlugCore", dependencies: ["coldlug_phoneFFI"], path: "Generated/ColdlugCore"),
        // Where a person is and what they have typed. Knows no screen framework.
        .target(name: "Coldlug", dependencies: ["ColdlugCore"]),
        // The device's clock, key store and way to the desk.
        .target(name: "ColdlugDevice", dependencies: ["ColdlugCore"] + device),
        // What is drawn.
        .target(name: "ColdlugViews", dependencies: ["Coldlug"] + screens),
        .testTarget(name: "ColdlugTests", dependencies: ["Coldlug", "ColdlugDevice"]),
    ] + standIns
)
