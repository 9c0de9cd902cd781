import Coldlug
import ColdlugCore
import SwiftUI

/// One thing an act asks, and the means to answer it.
struct AskView: View {
    let work: Work
    let entry: Entry
    let ask: Ask

    var body: some View {
        Line(ask.label).font(.title2.bold()).accessibilityAddTraits(.isHeader)
        if let unfit = entry.unfit, unfit.field == ask.field || unfit.field.isEmpty {
            HStack(alignment: .firstTextBaseline) {
                Sign(mark: .bar)
                Line(unfit.said)
            }
        }
        switch ask.kind {
        case .number(let unit, let digits):
            HStack(alignment: .firstTextBaseline) {
                Text(verbatim: answer.wrappedValue).font(.largeTitle.monospacedDigit())
                Text(verbatim: unit).font(.title)
            }
            .frame(maxWidth: .infinity, minHeight: Reach.target, alignment: .trailing)
            .border(Color.ink, width: 2)
            .accessibilityElement(children: .combine)
            PadView(work: work, digits: digits, text: answer)
        case .text:
            TextField("", text: answer)
                .font(.title)
                .autocorrectionDisabled()
                .frame(minHeight: Reach.target)
                .border(Color.ink, width: 2)
                .accessibilityLabel(ask.label.spoken)
        case .one(let choices):
            Choices(of: choices, chosen: entry.values(of: ask)) { choice in
                work.answer { $0.set(choice.value, for: ask) }
            }
        case .several(let choices):
            Choices(of: choices, chosen: entry.values(of: ask)) { choice in
                work.answer { $0.toggle(choice, for: ask) }
            }
        case .yesNo:
            Choices(of: work.yesAndNo, chosen: entry.values(of: ask)) { choice in
                work.answer { $0.set(choice.value, for: ask) }
            }
        case .photo:
            PhotoAsk(work: work, entry: entry, ask: ask)
        }
    }

    private var answer: Binding<String> {
        Binding(
            get: { entry.value(of: ask) },
            set: { value in work.answer { $0.set(value, for: ask) } }
        )
    }
}

extension Work {
    /// Yes and no, as the answers name them.
    var yesAndNo: [Choice] {
        [
            Choice(value: "yes", label: word(.yes)),
            Choice(value: "no", label: word(.no)),
        ]
    }
}

/// Choices as a column of keys; a chosen one is told by its sign and to the ear.
struct Choices: View {
    let of: [Choice]
    let chosen: [String]
    let choose: (Choice) -> Void

    var body: some View {
        ForEach(Array(of.enumerated()), id: \.offset) { _, choice in
            Button {
                choose(choice)
            } label: {
                HStack {
                    Sign(mark: isChosen(choice) ? .disc : .ring)
                    Line(choice.label).font(.title3)
                }
            }
            .buttonStyle(Key(leads: isChosen(choice)))
            .accessibilityAddTraits(isChosen(choice) ? .isSelected : [])
        }
    }

    private func isChosen(_ choice: Choice) -> Bool {
        chosen.contains(choice.value)
    }
}
