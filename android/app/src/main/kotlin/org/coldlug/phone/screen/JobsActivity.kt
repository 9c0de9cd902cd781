package org.coldlug.phone.screen

import android.graphics.Typeface
import android.text.SpannableString
import android.text.style.StyleSpan
import android.view.View
import android.widget.EditText
import org.coldlug.phone.Opened
import org.coldlug.phone.Outcome
import org.coldlug.phone.R
import org.coldlug.phone.Why
import org.coldlug.phone.ask.field
import org.coldlug.phone.look.Buttons
import org.coldlug.phone.look.Look
import org.coldlug.phone.look.Mark
import org.coldlug.phone.look.Parts
import org.coldlug.phone.look.band
import uniffi.coldlug_phone.JobLine
import uniffi.coldlug_phone.Label
import uniffi.coldlug_phone.Screen
import uniffi.coldlug_phone.Sentence
import uniffi.coldlug_phone.Shown
import uniffi.coldlug_phone.readInvitation

/** The jobs on this phone, and the way to the desk. */
class JobsActivity : CoreActivity<JobsActivity.Listed>() {
    /** The jobs, and whether this phone is enrolled. */
    data class Listed(val shown: Shown, val enrolled: Boolean)

    private var said: (() -> View)? = null

    override fun question(opened: Opened) = Listed(opened.phone.jobs(), opened.person() != null)

    override fun drawn(answer: Listed): Parts =
        if (answer.enrolled) listed(answer.shown) else enrolling(answer.shown)

    private fun listed(shown: Shown): Parts {
        val rows = jobs(shown.screen).map(::row)
        val sync = Buttons(look).plain(words[Label.SYNC], R.drawable.act_pen, ::sync)
        val none = look.line(words[Label.NO_JOBS]).takeIf { rows.isEmpty() }
        return Parts(
            // Each job begins with its physical state; nothing stands above the first of them.
            top = listOfNotNull(said?.invoke()),
            lead = listOf(look.line(shown.headline), sync),
            rest = listOfNotNull(none) + rows,
        )
    }

    private fun jobs(screen: Screen): List<JobLine> = (screen as? Screen.JobList)?.jobs.orEmpty()

    /** A job as one large button: its physical state first, then its name and how far it has come. */
    private fun row(line: JobLine): View {
        val name = line.job.orEmpty()
        val text = listOf(line.physical.text, name, line.stage.text).joinToString("\n")
        val spoken = listOf(line.physical.spoken, name, line.stage.spoken).joinToString(" ")
        val row = Buttons(look).plain(Sentence(line.stage.id, text, spoken), null) {
            line.job?.let { startActivity(JobActivity.of(this, it)) }
        }
        val bold = StyleSpan(Typeface.BOLD)
        row.text = SpannableString(text).apply { setSpan(bold, 0, line.physical.text.length, 0) }
        return row
    }

    private fun enrolling(shown: Shown): Parts {
        val label = words[Label.INVITATION]
        val typed = field(look, label.spoken).apply { id = R.id.invitation }
        val enrol = Buttons(look).big(words[Label.ENROL], R.drawable.act_pen) { enrol(typed) }
        return Parts(
            top = listOfNotNull(look.band(shown.headline, Mark.of(shown.tone)), said?.invoke()),
            lead = listOf(enrol),
            rest = listOf(look.line(label, bold = true), typed),
        )
    }

    private fun enrol(typed: EditText) {
        val text = typed.text.toString()
        talk {
            it.phone.enrol(readInvitation(text), it.transport)
            null
        }
    }

    private fun sync() = talk { it.phone.sync(it.transport).problems.firstOrNull()?.said }

    /** Talks to the desk, and says what came of it: the first problem, or that all is well. */
    private fun talk(question: (Opened) -> Sentence?) {
        tell { look.line(words[Label.SYNCING]) }
        // Not dropped while a job is looked at: the list says what came of it when it is seen again.
        core.talk(question) { outcome ->
            when (outcome) {
                is Outcome.Done -> tell { came(outcome.value) }
                is Outcome.NotDone -> tell { look.trouble(outcome.why, words) }
            }
            load()
        }
    }

    private fun came(problem: Sentence?): View =
        if (problem == null) look.line(words[Label.SYNCED]) else look.trouble(Why(problem), words)

    private fun tell(what: () -> View) {
        said = what
        redraw()
    }
}
