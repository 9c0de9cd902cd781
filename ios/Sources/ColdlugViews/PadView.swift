import Coldlug
import ColdlugCore
import SwiftUI

/// Our own number pad: keys that a rubber glove hits, with a tick for each.
struct PadView: View {
    let work: Work
    let digits: Digits
    @Binding var text: String
    @State private var ticks = 0

    var body: some View {
        VStack(spacing: Reach.gap) {
            ForEach(Array(PadKey.rows(for: digits).enumerated()), id: \.offset) { _, row in
                HStack(spacing: Reach.gap) {
                    ForEach(row, id: \.self) { key in
                        Button {
                            press(key)
                        } label: {
                            face(of: key).font(.title.bold())
                        }
                        .buttonStyle(Key(leads: false))
                        .frame(minHeight: Reach.big)
                    }
                }
            }
        }
        .sensoryFeedback(.selection, trigger: ticks)
    }

    private func press(_ key: PadKey) {
        var typed = Typed(text)
        typed.press(key)
        text = typed.text
        ticks += 1
    }

    @ViewBuilder private func face(of key: PadKey) -> some View {
        switch key {
        case .digit(let digit): Text(verbatim: String(digit))
        case .point: Word(work.word(.point))
        case .minus: Word(work.word(.minus))
        case .delete: Word(work.word(.delete))
        }
    }
}

/// A sentence short enough for a key.
struct Word: View {
    let said: Sentence

    init(_ said: Sentence) {
        self.said = said
    }

    var body: some View {
        Text(verbatim: said.text).accessibilityLabel(said.spoken)
    }
}
