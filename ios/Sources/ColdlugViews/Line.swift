import Coldlug
import ColdlugCore
import SwiftUI

/// A sentence as it is read, and to the ear as core says it is spoken.
struct Line: View {
    let said: Sentence

    init(_ said: Sentence) {
        self.said = said
    }

    var body: some View {
        Text(verbatim: said.text)
            .accessibilityLabel(said.spoken)
            .frame(maxWidth: .infinity, alignment: .leading)
            .fixedSize(horizontal: false, vertical: true)
    }
}

/// Several of them, one under the other.
struct Lines: View {
    let said: [Sentence]

    var body: some View {
        ForEach(Array(said.enumerated()), id: \.offset) { _, line in Line(line) }
    }
}

/// The physical state: the first lines of every screen.
struct PhysicalLines: View {
    let said: [Sentence]

    var body: some View {
        VStack(alignment: .leading, spacing: 4) { Lines(said: said) }
            .font(.headline)
            .padding(Reach.gap)
            .border(Color.ink, width: 2)
            .accessibilityElement(children: .contain)
    }
}
