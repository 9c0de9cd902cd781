import Coldlug
import ColdlugCore
import SwiftUI

/// A mark as a shape. The words beside it say the same, so it says nothing to the ear.
struct Sign: View {
    let mark: Mark

    private var symbol: String {
        switch mark {
        case .disc: "circle.fill"
        case .bar: "minus.square.fill"
        case .half: "circle.lefthalf.filled"
        case .ring: "circle"
        }
    }

    var body: some View {
        Image(systemName: symbol).accessibilityHidden(true)
    }
}

/// What a screen says on top, with its mark.
struct Headline: View {
    let said: Sentence
    let tone: Tone

    var body: some View {
        HStack(alignment: .firstTextBaseline, spacing: Reach.gap) {
            Sign(mark: Mark(of: tone))
            Line(said)
        }
        .font(.title2.bold())
        .accessibilityAddTraits(.isHeader)
    }
}
