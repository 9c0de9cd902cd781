import Coldlug
import ColdlugCore
import SwiftUI

/// What may be behind a contradiction, and what the map claims beside what was seen. The verdict stands above it, the way to settle it below.
struct LedgerView: View {
    let work: Work
    let judgement: Judgement

    var body: some View {
        Line(work.word(.why)).font(.headline).accessibilityAddTraits(.isHeader)
        Lines(said: judgement.explanations)
        ForEach(Array(judgement.ledger.enumerated()), id: \.offset) { _, claim in
            HStack(alignment: .firstTextBaseline, spacing: Reach.gap) {
                Sign(mark: Mark(of: claim.standing))
                VStack(alignment: .leading) {
                    Text(verbatim: claim.sentence)
                        .frame(maxWidth: .infinity, alignment: .leading)
                    Line(standing(of: claim)).font(.callout)
                }
            }
            .accessibilityElement(children: .combine)
        }
    }

    private func standing(of claim: Claim) -> Sentence {
        switch claim.standing {
        case .agrees: work.word(.agrees)
        case .unsettled: work.word(.unsettled)
        case .contradicts: work.word(.contradicts)
        }
    }
}
