"""How a question looks, and a verdict on what was answered: in the quiz, and in panels that ask themselves."""

from kilnlib.words import text

CSS = """<style>
.fc-ask {width: 100%; max-width: 940px; overflow: hidden; color: var(--jp-ui-font-color1, #1b1b1b);}
.fc-card + .fc-card {border-top: 1px solid var(--jp-border-color1, #bdbdbd); padding-top: 8px; margin-top: 6px;}
.fc-card .widget-html {margin: 2px 0;} .fc-card .widget-html-content {font-size: 14px; line-height: 1.4;}
.fc-prompt {max-width: 720px; font-size: 15px;} .fc-prompt p, .fc-feedback p {margin: 0 0 4px;}
.fc-prompt ul {list-style: none; margin: 4px 0; padding: 0;}
.fc-prompt li {padding-left: 1.6em; text-indent: -1.6em;}
.fc-ask .fc-card .widget-label {width: auto; min-width: 90px; font-size: 14px; align-self: center;}
.fc-ask .fc-row {align-items: center; flex-wrap: wrap;}
.fc-ask .fc-row > .widget-text {width: 230px; flex: 0 0 230px;}
.fc-ask .fc-row > .widget-text input, .fc-ask textarea {font-size: 14px;}
.fc-ask .fc-row > .widget-label {min-width: 0; margin-right: 12px;}
.fc-ask .jupyter-button {width: auto; min-width: 92px; font-size: 14px; flex: 0 0 auto; align-self: flex-start;}
.fc-ask .widget-radio, .fc-ask .widget-textarea {width: 100%; max-width: 720px; height: auto; flex-direction: column;}
.fc-ask .fc-card .widget-radio > .widget-label, .fc-ask .fc-card .widget-textarea > .widget-label
  {display: block; align-self: flex-start; text-align: left; height: auto; line-height: 1.4;}
.fc-ask .widget-radio-box {width: 100%; margin: 2px 0;}
.fc-ask .widget-radio-box label {height: auto; display: block; position: relative; padding: 2px 0 2px 22px;
  font-size: 14px; line-height: 1.35; white-space: normal; overflow-wrap: anywhere; cursor: pointer;}
.fc-ask .widget-radio-box input {height: auto; margin: 0; position: absolute; left: 2px; top: 5px;}
.fc-feedback {max-width: 720px; border-left: 4px solid #7a7a7a; padding: 2px 0 2px 8px;}
.fc-feedback.fc-right {border-left-color: #2e8b2e;} .fc-feedback.fc-wrong {border-left-color: #c2571a;}
.fc-feedback ol {margin: 2px 0 4px; padding-left: 1.6em;}
.fc-predict .fc-prompt {font-size: 14px;} .fc-predict.fc-told .fc-prompt, .fc-predict .fc-feedback {max-width: none;}
</style>"""


def heading(right, yes="right", no="wrong"):
    """Look and first words of a verdict."""
    return ("fc-right", text(f"quiz.{yes}")) if right else ("fc-wrong", text(f"quiz.{no}"))


def verdict_html(right, words, more=""):
    """Right or not, and why, as the questions say it; `words` and what follows them are HTML."""
    look, head = heading(right)
    return feedback_html(look, f"<p><b>{head}</b> {words}</p>{more}")


def feedback_html(look, content):
    """What is said under a box, as HTML that is read aloud when it appears."""
    return f'<div class="fc-feedback {look}" role="status" aria-live="polite">{content}</div>'
