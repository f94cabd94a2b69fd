"""The defect finder on the screen: say it in words or tick what you see, and read the likeliest defects."""

import html
import re

import ipywidgets as widgets

from kilnlib.bench.drawings.defects import drawing
from kilnlib.bench.kit.parts import button, on_enter
from kilnlib.bench.kit.screen import View, after_pause, by_hand, line
from kilnlib.errors import BadInput, sentence
from kilnlib.physics.defects import Seen, defects, find_defects, read_description, signs
from kilnlib.physics.wood import species_key
from kilnlib.words import text

CSS = """<style>
.fc-find {color: var(--jp-ui-font-color1, #1b1b1b);} .fc-find .widget-html-content {line-height: 1.32; font-size: 14px;}
.fc-view .fc-find .widget-label {width: 52px; min-width: 52px; font-size: 14px;}
.fc-view .fc-find .widget-text .widget-label {width: 140px; min-width: 140px; white-space: nowrap;}
.fc-find .widget-dropdown {width: 284px; margin: 2px 0;} .fc-find .widget-dropdown select {font-size: 14px;}
.fc-find .widget-checkbox {width: 284px; height: auto; margin: 1px 0;}
.fc-find .widget-checkbox .widget-label-basic {display: block; position: relative; padding-left: 24px; height: auto;
  width: 100%; min-width: 0; font-size: 14px; line-height: 1.3; white-space: normal; cursor: pointer;}
.fc-find .widget-checkbox input {position: absolute; left: 2px; top: 2px; margin: 0;}
.fc-find .jupyter-button, .fc-find .widget-toggle-button {width: auto; min-width: 56px; font-size: 14px;}
.fc-find .fc-part {align-items: center;} .fc-find .fc-part .widget-html {flex: 1 1 0; min-width: 0;}
.fc-view .fc-find .fc-part .jupyter-button {flex: 0 0 auto; min-width: max-content;}
.fc-find .widget-toggle-buttons .widget-label {display: none;}
.fc-find .fc-answer p {margin: 0 0 3px;} .fc-find .fc-answer svg {float: left; margin: 0 12px 2px 0;}
.fc-find .fc-answer h3 {margin: 0 0 3px; font-size: 16px;} .fc-find .fc-small {font-size: 12.5px; line-height: 1.25;}
.fc-find .fc-gallery {display: flex; flex-wrap: wrap; gap: 6px 8px; margin-top: 8px;}
.fc-find .fc-gallery figure {margin: 0;} .fc-find .fc-gallery figcaption {text-align: center; font-size: 13px;}
</style>"""
SHOWN = 3
PICTURE_PX, SMALL_PX = 175, 148
WOODS = ("red oak", "white oak", "hard maple", "yellow-poplar", "ash", "eastern white pine", "hardwood", "softwood")
ASKED = {  # said of many defects: which ticks to show, and the words that ask for one of them
    "cracks": re.compile(r"\b(crack|check|split|fissure)", re.IGNORECASE),
    "color": re.compile(r"\b(black|dark|spot|speck|dot|mark|stain|discolor|patch)", re.IGNORECASE),
}


class Panel(View):
    """What is wrong with a board.

    Public for tests: `describe`, `tick`, `place`, `choose_wood`, `answer`, `look_at`, `reset`, `diagnosis`, `seen`.
    """

    name = "defect_finder"

    def __init__(self):
        super().__init__()
        self.seen, self.diagnosis, self.looked_at = Seen(), None, None
        self.words = widgets.Text(description=self.word("words"), placeholder=self.word("example"))
        self.words.layout.width = "720px"
        on_enter(self.words, lambda: after_pause(lambda: self.describe(self.words.value)))
        self.kind = widgets.Dropdown(description=self.word("see"), options=self._kinds())
        self.kind.observe(lambda _: self._show_kind(), "value")
        self.boxes = {key: self._box(key) for key, sign in signs().items() if sign.aspect == "see"}
        self.ticks = widgets.VBox()
        self.places = {aspect: self._places(aspect) for aspect in ("where", "when")}
        self.wood = widgets.Dropdown(description=self.word("wood"), options=self._woods())
        self.wood.observe(lambda change: self.choose_wood(change["new"]), "value")
        self.saying, self.answers, self.question = widgets.HTML(), widgets.HTML(), widgets.HTML()
        self.names = widgets.ToggleButtons(options=[])
        self.names.observe(lambda change: self.look_at(change["new"]), "value")
        replies = [self._button(key, lambda key=key: self.answer(key)) for key in ("yes", "no", "pass")]
        self.replies = widgets.HBox([self.question, *replies])
        self.replies.add_class("fc-part")
        controls = [self.kind, self.ticks, *self.places.values(), self.wood, self._button("reset", self.reset)]
        right = [self.saying, self.names, self.answers, self.replies]
        content = widgets.VBox(
            [
                widgets.HTML(CSS, layout={"display": "none"}),
                widgets.HBox([self.words, self._button("read", lambda: self.describe(self.words.value))]),
                widgets.HBox(
                    [
                        widgets.VBox(controls, layout={"width": "294px", "min_width": "294px"}),
                        widgets.VBox(right, layout={"width": "638px", "min_height": "390px"}),
                    ]
                ),
            ]
        )
        content.add_class("fc-find")
        self.view = self.framed(content)
        with self.guard():
            self._show_kind()
            self._settle(Seen())

    # what somebody does -----------------------------------------------------------------------------------------------

    def describe(self, words):
        """Read a description; it takes the place of everything said before."""
        with self.guard():
            self.words.value = words
            read = read_description(words)
            seen = Seen(**vars(read) | {"wood": self._usual_name(read.wood)})
            self._settle(seen)
            kinds = [signs()[key].kind for key in self.boxes if key in seen.present | seen.absent]
            asked = next((kind for kind, said in ASKED.items() if said.search(words)), None)
            if kinds:
                self.kind.value = self.kind.value if self.kind.value in kinds else kinds[0]
            elif asked and not seen.named:
                self._ask_which(asked)
            elif not (seen.present or seen.named):
                raise BadInput("no_signs", text=words.strip()[:60])

    def _ask_which(self, kind):
        """A crack, or a dark spot, and no more: ask which one, with those ticks in view."""
        self.kind.value = kind
        self.answers.value = self._gallery()
        self.saying.value = line(self.word(f"asked.{kind}"))

    def tick(self, key, present=True):
        """Tick a sign, or take its tick away."""
        self._change(present=self.seen.present - {key} | ({key} if present else set()), absent=self.seen.absent - {key})

    def place(self, aspect, key):
        """Say where or when; nothing takes it back."""
        others = frozenset(one for one in self.seen.present if signs()[one].aspect != aspect)
        self._change(present=others | ({key} if key else frozenset()))

    def choose_wood(self, name):
        """Say which wood; empty for any."""
        self._change(wood=name or "")

    def answer(self, reply):
        """Answer the parting question: "yes", "no" or "pass"."""
        if self.diagnosis and self.diagnosis.part:
            side = {"yes": "present", "no": "absent", "pass": "skipped"}[reply]
            self._change(**{side: getattr(self.seen, side) | {self.diagnosis.part.sign.sign}})

    @by_hand
    def look_at(self, key):
        """Show one of the likely defects."""
        if key:
            self.looked_at = key
            self._tell()

    def reset(self):
        """Nothing said, nothing found."""
        self.last_error = None
        self.words.value = ""
        self._settle(Seen())

    def close(self):
        """Close every widget, those that are out of sight too."""
        self.ticks.children = list(self.boxes.values())
        super().close()

    # what is shown ----------------------------------------------------------------------------------------------------

    def show_error(self, error):
        """The sentence takes the place of the answers, which belong to other words."""
        self.saying.value = line(sentence(error, self.system), "refusal")
        for part in (self.names, self.answers, self.replies):
            part.layout.display = "none"

    @by_hand
    def _change(self, **more):
        with self.guard():
            self._settle(Seen(**vars(self.seen) | more))

    def _settle(self, seen):
        """Take what was seen, find, and put every control where it belongs."""
        self.seen, self.diagnosis = seen, find_defects(seen)
        likely = self.diagnosis.likely[:SHOWN]
        self.looked_at = likely[0].defect.defect if likely else None
        with self.quietly():
            for key, box in self.boxes.items():
                box.value = key in seen.present
            for aspect, place in self.places.items():
                here = [key for key, sign in signs().items() if sign.aspect == aspect and key in seen.present]
                place.value = here[0] if here else ""
            self.wood.options = self._woods(seen.wood)
            self.wood.value = seen.wood
            self.names.options = [
                (self.word("rank", rank=rank, name=self._short(one.defect)), one.defect.defect)
                for rank, one in enumerate(likely, 1)
            ]
            self.names.value = self.looked_at
        self.names.layout.display = "" if len(likely) > 1 else "none"
        self.answers.layout.display = ""
        self._ask()
        self._tell()

    def _ask(self):
        part = self.diagnosis.part
        self.replies.layout.display = "" if part else "none"
        self.question.value = ""
        if part:
            no = self._short(part.no) if part.no else self.word("open")
            words = self.word("part", question=part.sign.question, yes=self._short(part.yes), no=no)
            self.question.value = f"<div><b>{self.word('look')}</b> {html.escape(words)}</div>"

    def _tell(self):
        """What was taken in, and the defect that is looked at."""
        seen = self.seen
        noticed = [self.word("named", name=self._short(one)) for key, one in defects().items() if key in seen.named]
        noticed += [signs()[key].label for key in signs() if key in seen.present]
        noticed += [self.word("absent", sign=signs()[key].label) for key in signs() if key in seen.absent]
        noticed += [seen.wood] if seen.wood else []
        self.saying.value = line(self.word("said", signs="; ".join(noticed)) if noticed else self.word("start"))
        one = next((one for one in self.diagnosis.likely if one.defect.defect == self.looked_at), None)
        nothing = line(self.word(self._nothing())) if noticed else self._gallery()
        self.answers.value = self._answer(one) if one else nothing

    def _gallery(self):
        """What the ticks in view may be signs of, drawn side by side, until something is said."""
        alike = [one for one in defects().values() if any(signs()[key].kind == self.kind.value for key in one.see)]
        pictures = (
            f"<figure>{drawing(one.defect, self._alt(one), SMALL_PX)}<figcaption>{html.escape(self._short(one))}"
            "</figcaption></figure>"
            for one in alike
        )
        return f'<div class="fc-gallery">{"".join(pictures)}</div>'

    def _nothing(self):
        """Why no defect is named."""
        if "prongs_straight" in self.seen.present:
            return "good"
        looked = [key for key in self.seen.present if signs()[key].aspect == "see"]
        return "none" if looked or self.seen.named else "too_little"

    def _answer(self, one):
        """A likely defect as HTML that is read aloud: what it is, cause, cure, next charge, reasons, source."""
        defect, count = one.defect, len(one.fits) + len(one.against)
        alike = ", ".join(self._short(defects()[key]) for key in defect.look_alikes)
        how = text(f"how.{defect.how}")
        if defect.remembered:
            how += self.word("remembered", columns=", ".join(self.word(f"column.{key}") for key in defect.remembered))
        against = "; ".join(signs()[key].label for key in one.against)
        small = [self.word("alike", names=alike), self.word("source", source=defect.source, how=how)]
        if against:
            small.insert(0, self.word("against", signs=against))
        paragraphs = "".join(
            f"<p><b>{self.word(key)}</b> {html.escape(words)}</p>"
            for key, words in (("cause", defect.cause), ("cure", defect.cure), ("next", defect.prevention))
        )
        fits = self.word("fits", name=defect.name, fits=len(one.fits), count=count) if count else defect.name
        heading = html.escape(fits)
        picture = drawing(defect.defect, self._alt(defect), PICTURE_PX)
        looks, stage = html.escape(defect.appearance), html.escape(defect.stage)
        return (
            f'<div class="fc-answer" role="status" aria-live="polite"><h3>{heading}</h3>{picture}'
            f"<p>{looks} <b>{self.word('stage')}</b> {stage}.</p>{paragraphs}"
            f'<p class="fc-small">{html.escape(" ".join(small))}</p></div>'
        )

    def _show_kind(self):
        self.ticks.children = [box for key, box in self.boxes.items() if signs()[key].kind == self.kind.value]
        if self.seen == Seen():
            self.answers.value = self._gallery()

    # parts ------------------------------------------------------------------------------------------------------------

    def _alt(self, defect):
        return self.word("alt", name=self._short(defect), appearance=defect.appearance)

    @staticmethod
    def _short(defect):
        return defect.name.split(" (")[0]

    def _kinds(self):
        kinds = dict.fromkeys(sign.kind for sign in signs().values() if sign.aspect == "see")
        return [(self.word(f"kind.{kind}"), kind) for kind in kinds]

    def _woods(self, more=""):
        names = ["", *WOODS] + [more] * (more not in ("", *WOODS))
        return [(name.capitalize() or self.word("any_wood"), name) for name in names]

    @staticmethod
    def _usual_name(wood):
        """The name under which the list of woods knows a species."""
        return next((name for name in WOODS[:6] if wood and species_key(name) == wood), wood)

    def _box(self, key):
        box = widgets.Checkbox(description=signs()[key].label, indent=False)
        box.observe(lambda change: self.tick(key, change["new"]), "value")
        return box

    def _places(self, aspect):
        options = [(self.word(f"any_{aspect}"), "")]
        options += [(sign.label, key) for key, sign in signs().items() if sign.aspect == aspect]
        place = widgets.Dropdown(description=self.word(aspect), options=options)
        place.observe(lambda change: self.place(aspect, change["new"]), "value")
        return place

    def _button(self, key, action):
        return button(f"{self.name}.{key}", action)
