import Coldlug
import ColdlugCore
import SwiftUI

/// An act being filled in: one ask at a time, and at the end all of it once more before it is signed.
struct EntryView: View {
    let work: Work
    let entry: Entry

    var body: some View {
        Line(entry.offer.label).font(.headline)
        if let ask = entry.ask {
            AskView(work: work, entry: entry, ask: ask)
            Button {
                work.answer { $0.next() }
            } label: {
                Line(work.word(isEmpty(ask) && !ask.required ? .skip : .next)).font(.title3.bold())
            }
            .buttonStyle(Key(leads: true))
            .disabled(!entry.mayPass(ask))
        } else {
            Line(work.word(entry.offer.asks.isEmpty ? .sure : .check)).font(.title2.bold())
            if let unfit = entry.unfit { Line(unfit.said) }
            ForEach(Array(entry.offer.asks.enumerated()), id: \.offset) { _, ask in
                Answered(work: work, entry: entry, ask: ask)
            }
            Button {
                Task { await work.write() }
            } label: {
                Line(work.isWriting ? work.word(.wait) : entry.offer.label).font(.title3.bold())
            }
            .buttonStyle(Key(leads: true))
            .disabled(work.isWriting || !entry.isWhole)
        }
    }

    private func isEmpty(_ ask: Ask) -> Bool {
        entry.values(of: ask).isEmpty
    }
}

/// One answer, as it will be written down.
struct Answered: View {
    let work: Work
    let entry: Entry
    let ask: Ask

    var body: some View {
        VStack(alignment: .leading) {
            Line(ask.label).font(.callout)
            ForEach(Array(values.enumerated()), id: \.offset) { _, value in
                Line(value).font(.title3.bold())
            }
        }
        .accessibilityElement(children: .combine)
    }

    private var values: [Sentence] {
        let values = entry.values(of: ask)
        if values.isEmpty { return [work.word(.empty)] }
        switch ask.kind {
        case .number(let unit, _):
            return values.map { plain($0 + " " + unit) }
        case .text:
            return values.map(plain)
        case .one(let of), .several(let of):
            return chosen(of, values)
        case .yesNo:
            return chosen(work.yesAndNo, values)
        case .photo:
            return [work.word(.pictureKept)]
        }
    }

    private func chosen(_ of: [Choice], _ values: [String]) -> [Sentence] {
        of.filter { values.contains($0.value) }.map(\.label)
    }

    private func plain(_ text: String) -> Sentence {
        Sentence(id: "", text: text, spoken: text)
    }
}
