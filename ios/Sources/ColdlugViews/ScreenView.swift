import Coldlug
import ColdlugCore
import SwiftUI

/// What a screen is about. Physical state, headline and acts stand around it, whatever it is.
struct ScreenView: View {
    let work: Work
    let screen: Screen

    var body: some View {
        switch screen {
        case .jobList(let jobs):
            JobListView(work: work, jobs: jobs)
        case .ledger(let judgement):
            LedgerView(work: work, judgement: judgement)
        case .briefing(let missing):
            ForEach(missing, id: \.self) { Text(verbatim: $0) }
        case .lift(let set, let legs):
            Text(verbatim: set).font(.headline)
            LegLines(legs: legs)
        case .restore(let legs):
            LegLines(legs: legs)
        case .proof(_, let points):
            PointLines(work: work, points: points)
        case .clearance(let holding):
            Lines(said: holding)
        case .where, .switching, .keys, .handover, .stopped, .closed:
            NotYetDrawn()
        }
    }
}

/// A screen that shows its physical state, headline and acts only. Each is on the list of what is not
/// drawn yet.
struct NotYetDrawn: View {
    var body: some View {
        EmptyView()
    }
}

/// Each hot leg and where it is.
struct LegLines: View {
    let legs: [LegLine]

    var body: some View {
        ForEach(Array(legs.enumerated()), id: \.offset) { _, line in
            HStack {
                Text(verbatim: line.leg).font(.title2.bold())
                Line(line.state)
            }
        }
    }
}

/// Each point of a proof: where, what was read, and whether it reads as it should.
struct PointLines: View {
    let work: Work
    let points: [PointLine]

    var body: some View {
        ForEach(Array(points.enumerated()), id: \.offset) { _, point in
            HStack(alignment: .firstTextBaseline, spacing: Reach.gap) {
                Sign(mark: Mark(fits: point.fits))
                Line(point.label)
                if let reads = point.reads {
                    Text(verbatim: reads.text)
                        .font(.body.monospacedDigit())
                        .accessibilityLabel(reads.spoken)
                }
                Line(stands(point))
            }
            .accessibilityElement(children: .combine)
        }
    }

    private func stands(_ point: PointLine) -> Sentence {
        switch point.fits {
        case .some(true): work.word(.fits)
        case .some(false): work.word(.fitsNot)
        case .none: work.word(point.next ? .readNow : .notRead)
        }
    }
}
