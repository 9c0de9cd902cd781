import Coldlug
import ColdlugCore
import ColdlugDevice
import ColdlugViews
import Foundation
import SwiftUI

/// The app: one phone, opened once, drawn in one window.
@main
struct ColdlugApp: App {
    @State private var begun = Begun.now()

    var body: some Scene {
        WindowGroup {
            switch begun {
            case .open(let work): RootView(work)
            case .failed(let said): Text(verbatim: said)
            }
        }
    }
}

/// The phone as it was found when the app began.
@MainActor enum Begun {
    /// It is open.
    case open(Work)
    /// It could not be opened; in core's words.
    case failed(String)

    static func now() -> Begun {
        do {
            let files = FileManager.default
            let support = try files.url(
                for: .applicationSupportDirectory, in: .userDomainMask, appropriateFor: nil,
                create: true)
            let folder = support.appendingPathComponent("phone", isDirectory: true)
            let phone = try Phone.open(
                folder: folder.path, clock: DeviceClock(), keys: DeviceKeys())
            return .open(Work(phone, by: DeskTransport()))
        } catch {
            return .failed(String(describing: error))
        }
    }
}
