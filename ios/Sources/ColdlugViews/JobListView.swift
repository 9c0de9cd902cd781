import Coldlug
import ColdlugCore
import SwiftUI

/// The jobs on this phone: how each stands in the field, and how far it has come.
struct JobListView: View {
    let work: Work
    let jobs: [JobLine]

    var body: some View {
        if jobs.isEmpty { Line(work.word(.noJobs)) }
        ForEach(Array(jobs.enumerated()), id: \.offset) { _, line in
            Button {
                if let job = line.job { Task { await work.open(job) } }
            } label: {
                VStack(alignment: .leading, spacing: 4) {
                    Line(line.physical).font(.headline)
                    HStack {
                        Text(verbatim: line.job ?? "").font(.body.bold())
                        Line(line.stage)
                    }
                }
                .padding(.vertical, Reach.gap)
            }
            .buttonStyle(Key(leads: false))
            .disabled(line.job == nil)
        }
        Button {
            Task { await work.sync() }
        } label: {
            Line(work.word(work.isTalking ? .syncing : .sync))
        }
        .buttonStyle(Key(leads: true))
        .disabled(work.isTalking)
        Lines(said: work.problems)
    }
}
