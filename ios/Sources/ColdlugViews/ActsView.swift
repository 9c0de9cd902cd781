import Coldlug
import ColdlugCore
import SwiftUI

/// What can be done: the first is the one big button, the rest stand under it. Which that is, and what
/// it is called, core says.
struct ActsView: View {
    let work: Work
    let shown: Shown

    var body: some View {
        if let first = shown.acts.first {
            if let test { Line(work.word(.settle)).font(.headline).accessibilityHidden(test.text.isEmpty) }
            ActKey(work: work, offer: first, above: test, leads: true)
        }
        if shown.acts.count > 1 {
            Line(work.word(.more)).font(.headline).accessibilityAddTraits(.isHeader)
        }
        ForEach(Array(shown.acts.dropFirst().enumerated()), id: \.offset) { _, offer in
            ActKey(work: work, offer: offer, above: nil, leads: false)
        }
    }

    /// The settling test, where the screen has one: it stands on the big button.
    private var test: Sentence? {
        switch shown.screen {
        case .ledger(let judgement):
            judgement.settlingTests.first?.sentence
        case .jobList, .briefing, .where, .switching, .keys, .handover, .lift, .proof, .clearance,
            .restore, .stopped, .closed:
            nil
        }
    }
}

/// One act as a button.
struct ActKey: View {
    let work: Work
    let offer: Offer
    let above: Sentence?
    let leads: Bool

    var body: some View {
        Button {
            work.take(offer)
        } label: {
            VStack(alignment: .leading, spacing: 4) {
                if let above { Line(above).font(.title3.bold()) }
                Line(offer.label).font(.title3)
                if !offer.permitted {
                    HStack {
                        Image(systemName: "lock.fill").accessibilityHidden(true)
                        Line(work.word(.otherRole)).font(.callout)
                    }
                }
            }
            .padding(.vertical, Reach.gap)
        }
        .buttonStyle(Key(leads: leads))
        .disabled(!offer.permitted)
    }
}
