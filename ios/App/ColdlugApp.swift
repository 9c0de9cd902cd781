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
            case .failed(let trouble): FailedView(trouble)
            }
        }
    }
}

/// The phone as it was found when the app began.
@MainActor enum Begun {
    /// It is open.
    case open(Work)
    /// It could not be opened; in core's words.
    case failed(Trouble)

    static func now() -> Begun {
        // The system names one such place; core makes the folder, and says so where it cannot.
        let places = FileManager.default.urls(
            for: .applicationSupportDirectory, in: .userDomainMask)
        let folder = places[0].appendingPathComponent("phone", isDirectory: true)
        do {
            let phone = try Phone.open(
                folder: folder.path, clock: DeviceClock(), keys: DeviceKeys())
            return .open(Work(phone, by: DeskTransport()))
        } catch let error as PhoneError {
            return .failed(Trouble(error))
        } catch {
            // No error of core's: a bug in the bindings.
            fatalError("\(error)")
        }
    }
}
