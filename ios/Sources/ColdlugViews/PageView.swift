import Coldlug
import ColdlugCore
import SwiftUI

/// A page that is read: what counts most, what it leads to, the drawing, everything else.
struct PageView: View {
    let work: Work
    let page: PageShown

    var body: some View {
        Headline(said: page.headline, tone: page.tone)
        ForEach(Array(page.acts.enumerated()), id: \.offset) { _, offer in
            ActKey(work: work, offer: offer, above: nil, leads: true)
        }
        if let diagram = page.diagram { DiagramView(diagram: diagram) }
        ForEach(Array(page.passages.enumerated()), id: \.offset) { _, passage in
            Line(passage.title).font(.headline).accessibilityAddTraits(.isHeader)
            ForEach(Array(passage.lines.enumerated()), id: \.offset) { _, line in
                PassageRow(line: line)
            }
        }
    }
}

/// One line; one that stands out is led by its sign.
struct PassageRow: View {
    let line: PassageLine

    var body: some View {
        if let tone = line.tone {
            HStack(alignment: .firstTextBaseline, spacing: Reach.gap) {
                Sign(mark: Mark(of: tone))
                Line(line.said)
            }
            .font(.body.bold())
        } else {
            Line(line.said)
        }
    }
}

/// The keys of a job's pages.
struct PageKeys: View {
    let work: Work
    let keys: [PageKey]

    var body: some View {
        ForEach(Array(keys.enumerated()), id: \.offset) { _, key in
            Button {
                Task { await work.read(key.page) }
            } label: {
                HStack {
                    if let tone = key.tone { Sign(mark: Mark(of: tone)) }
                    Line(key.label).font(.title3)
                }
                .padding(.vertical, Reach.gap)
            }
            .buttonStyle(Key(leads: false))
        }
    }
}
