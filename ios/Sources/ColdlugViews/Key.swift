import Coldlug
import SwiftUI
import UIKit

/// A button that fills its row: black on white or white on black, with an edge, so that it shows in
/// full sun and at night. The one that leads on is filled.
struct Key: ButtonStyle {
    let leads: Bool
    @Environment(\.isEnabled) private var isEnabled

    func makeBody(configuration: Configuration) -> some View {
        configuration.label
            .frame(maxWidth: .infinity, minHeight: leads ? Reach.big : Reach.target)
            .padding(.horizontal, Reach.gap)
            .foregroundStyle(leads ? Color.ground : Color.ink)
            .background(leads ? Color.ink : Color.ground)
            .border(Color.ink, width: configuration.isPressed ? 6 : 2)
            .opacity(isEnabled ? 1 : 0.5)
            .contentShape(Rectangle())
    }
}

extension Color {
    /// What is written: black by day, white at night.
    static let ink = Color.primary
    /// What it is written on.
    static let ground = Color(uiColor: .systemBackground)
}
