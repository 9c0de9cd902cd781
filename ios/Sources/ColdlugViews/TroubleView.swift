import Coldlug
import ColdlugCore
import SwiftUI

/// The whole screen where the phone could not be opened: why, in core's words.
public struct FailedView: View {
    private let trouble: Trouble

    /// Draws why.
    public init(_ trouble: Trouble) {
        self.trouble = trouble
    }

    public var body: some View {
        HStack {
            Sign(mark: .bar)
            Line(trouble.said).font(.headline)
        }
        .padding(Reach.gap)
    }
}

/// Why something was not done: what core says, and what is missing. It stays until it was read.
struct TroubleView: View {
    let work: Work
    let trouble: Trouble

    var body: some View {
        Button {
            work.dismiss()
        } label: {
            VStack(alignment: .leading, spacing: 4) {
                HStack {
                    Sign(mark: .bar)
                    Line(work.word(.notDone)).font(.headline)
                }
                Line(trouble.said)
                ForEach(Array(trouble.which.enumerated()), id: \.offset) { _, name in
                    Text(verbatim: name).font(.body.monospaced())
                }
            }
        }
        .buttonStyle(Key(leads: false))
    }
}
