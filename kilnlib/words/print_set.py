"""The set of pages to print and hang up: `python -m kilnlib print`. The Spanish is ours, and no native speaker has read it."""

from kilnlib.words.first_aid import TITLE as FIRST_AID_TITLE

CHECKLISTS = {  # page: its groups of lines to tick, each with a heading
    "loading": (
        (
            "Before loading",
            (
                "The work order says species, thickness and the moisture content that is wanted.",
                "Boards are sorted: one species, one thickness, moisture contents within 10 to 15 points of each other.",
                "Stickers are dry, of one thickness and as long as the pack is wide; bolsters stand under lines of stickers.",
                "Ends are coated where that is done.",
                "Sample boards are cut, weighed and coated, and their pockets in the stack are ready.",
                "Scale checked with a weight; oven checked.",
                "The kiln is empty and swept; drains, coil and filter are clean.",
                "The wick is clean, and there is water at it.",
                "The small door opens from inside, and the light works.",
            ),
        ),
        (
            "While loading",
            (
                "Doors are held open or pinned, wheels chocked, bundles plumb.",
                "Nobody walks beside a bundle that is lifted; one person signals.",
                "Top weight is lifted by truck, and truck and floor are rated for it.",
            ),
        ),
        (
            "Before the start",
            (
                "Gaps are closed: above first, then under, then the ends, then holes in the stack.",
                "The bulbs that steer stand where the air enters the stack.",
                "Everybody is counted outside. Then the locks come off.",
                "Every line of the component check is ticked: it has a page of its own.",
                "The first line of the daily log is written.",
            ),
        ),
    ),
    "core": (
        (
            "While the kiln is cold and locked out",
            (
                "The thickest piece is found; boards that lie face to face count as one.",
                "Green wood: the wet bulb can be held above 134 °F. If not, it is dried first.",
                "Probes are in the middle of the thickest pieces, two thicknesses or more from the end, where the kiln is coldest.",
                "Holes are sealed. A drawing of the kiln shows where each probe is, and the cold spots.",
                "The agency was asked whether 56 °C for 30 minutes is enough, and who may mark the wood.",
            ),
        ),
        (
            "While it heats",
            (
                "Air and every core are recorded at least every 5 minutes.",
                "A probe that reads what the air reads is no core any more.",
                "The half hour counts from the coldest core. A break, or a gap of more than 5 minutes, begins it again.",
                "Stop by the probes, never by minutes that were computed.",
            ),
        ),
    ),
    "storage": (
        (
            "Out of the kiln",
            (
                "About 30 boards read, at room warmth, some from the middle: average, lowest and highest.",
                "Ticket: wood, thickness, date, kind of drying, average, lowest, highest, how many were read.",
            ),
        ),
        (
            "Into the store",
            (
                "Packs stand off the ground and off the walls, under a roof that holds.",
                "Plastic never lies on the ground; a wrap goes all round, and is whole.",
                "The store is warmer than outdoors by the number below, or a humidistat holds 30 % RH for 6, 37 % for 7, 44 % for 8 %.",
                "Heaters are clear of lumber and dust, by the local fire code.",
                "One board lies on the scale: a point gained means that the store is too cold.",
                "Cold packs warm up in their wrap before they are opened in a warm shop.",
            ),
        ),
    ),
}

SPANISH_ENTRY = (
    "Primero deje a una segunda persona afuera y acuerden un límite de tiempo; esta persona pide ayuda, corta la corriente y "
    "abre las puertas grandes, y nunca entra. Apague, bloquee y etiquete toda energía, e intente arrancar. Abra las puertas, "
    "enfríe y ventile el horno. Sujete abierta la puerta pequeña y pruebe su salida desde adentro. Entre entonces, con luz, "
    "hasta que se acabe el tiempo. Manda el procedimiento de su planta."
)
SPANISH_HEAT = (
    "La enfermedad por calor empieza con dolor de cabeza, mareo, calambres o confusión: salga, refrésquese, beba agua. Quien "
    "está confundido o ya no suda puede tener un golpe de calor: pida ayuda de inmediato."
)

SPANISH = {  # word of the glossary: its Spanish; from published sources where one was found, else from memory
    "baffle": "deflector", "board foot": "pie tablar", "bolster": "soporte de la pila", "bone dry": "anhidro",
    "bound water": "agua ligada", "bow": "curvado de cara", "casehardening": "endurecimiento superficial",
    "change point": "punto de cambio", "charge": "carga", "coil": "serpentín", "collapse": "colapso",
    "conditioning": "acondicionamiento", "core": "núcleo", "course": "capa, camada", "crook": "curvado de canto",
    "cup": "abarquillado", "dew point": "punto de rocío", "drying rate": "velocidad de secado",
    "depression": "diferencia psicrométrica", "diamond": "arrombado", "dry bulb": "temperatura de bulbo seco",
    "EMC": "contenido de humedad de equilibrio", "end check": "grieta de extremo", "equalizing": "igualación",
    "fiber saturation": "punto de saturación de las fibras", "free water": "agua libre", "green": "verde",
    "honeycomb": "apanalamiento", "kiln": "horno, estufa, cámara", "locked out": "bloqueado y etiquetado",
    "moisture content": "contenido de humedad", "oven-dry weight": "peso anhidro", "overhang": "sobresalido de extremos", "plenum": "pleno", "prong test": "prueba de tenedor",
    "relative humidity": "humedad relativa", "sample board": "muestra de control", "section": "sección de humedad", "setpoint": "valor de ajuste",
    "entering air": "aire de entrada", "leaving air": "aire de salida", "stress": "tensiones", "schedule": "programa de secado",
    "shell": "superficie", "shrinkage": "contracción", "sticker": "separador, palillo", "specific gravity": "peso específico", "surface check": "grieta superficial",
    "temperature drop": "caída de temperatura", "top weight": "contrapeso", "twist": "alabeo",
    "vent": "ventila", "wet bulb": "bulbo húmedo", "wick": "mecha",
}  # fmt: skip

TEXT = {
    "print_set.help": "write the pages to print and hang up, as files that any browser prints on A4 or Letter",
    "print_set.done": "{count} pages to print are in {path}, a sheet of A4 or Letter each: open it in a browser and print it. "
    "Each lies beside it as a file of its own too.",
    "print_set.all_title": "Pages to print and hang up",
    "print_set.no_card": "The wall card of this charge is not among them. {why}",
    "print_set.foot": "First Charge · {kiln} · {day} · These pages teach. Your site’s procedure decides.",
    "print_set.entry.title": "The way into a hot kiln",
    "print_set.entry.spanish": "En español (ningún hablante nativo lo ha revisado)",
    "print_set.loading.title": "Load, and before the start",
    "print_set.log.title": "Daily log",
    "print_set.log.charge": "Charge ____________   Wood and thickness ______________________   Schedule ____________   Target ______ %",
    "print_set.log.columns": "Date, hour|Step|Set dry / wet|Read dry / wet in|Read dry / wet out|Bucket, gal|Run, h|Wettest half|"
    "Fastest, points a day|Faces|Action and why|Initials",
    "print_set.sheet.title": "Sample board",
    "print_set.sheet.head": "Board no. ______   Place in the stack ________________   Why this one ________________________",
    "print_set.sheet.sections": "|Section a|Section b",
    "print_set.sheet.wet": "Weight when cut",
    "print_set.sheet.dry": "Oven-dry weight",
    "print_set.sheet.mc": "Moisture content = (weight when cut ÷ oven-dry − 1) × 100",
    "print_set.sheet.ovendry": "Mean of a and b ______ %   Board when cut ________\nIts oven-dry weight = board ÷ (1 + mean ÷ 100) = ________",
    "print_set.sheet.columns": "Date, hour|Weight|Moisture content, %|Points a day|Face and ends|Initials",
    "print_set.sheet.recut": "Recut on ________   New oven-dry weight ________   (two fresh sections, as above)",
    "print_set.air.title": "RH and EMC at {altitude}",
    "print_set.air.says": "Upper number: relative humidity, %. Lower number: EMC of wood in that air, %. Down: dry bulb. Across: "
    "depression, dry bulb less wet bulb. Computed for the air pressure of {kiln}.",
    "print_set.air.corner": "Dry bulb, {unit}",
    "print_set.prongs.title": "Prong test",
    "print_set.prongs.steps": "Cut a section one inch along the grain, at least 12 in from the end of the board.|Saw out its middle, so "
    "that two prongs stay, each about a quarter of the thickness and no thicker than 3/8 in.|Let it lie until its moisture has evened out. A few minutes "
    "are not enough: lay it by for hours, or warm one or two sections for 15 seconds in a microwave and wait several minutes. "
    "Never leave the oven alone.|Look at the prongs. A section that is straight while it is still hot is not yet relieved.|Ten sections from "
    "different boards tell about a charge. If any of them bends, cut twenty more. One or two a little in is often all right, because "
    "the planer takes off the most stressed wood.",
    "print_set.prongs.in": "Bent in: stress is left in the boards (casehardening). Condition, hot and damp, until the prongs are straight.",
    "print_set.prongs.straight": "Straight, within about 1/8 in: ready.",
    "print_set.prongs.out": "Bent out: conditioned too long (reverse casehardening), or read too soon. Let it lie, and read it again.",
    "print_set.prongs.care": "⚠ Fetching boards is a hot-kiln entry. At the saw: clamp, push stick, guards.",
    "print_set.first_aid.title": FIRST_AID_TITLE,
    "print_set.glossary.title": "Words of the trade",
    "print_set.glossary.note": "In italics the Spanish word; from memory where no published one was found, and no native speaker has checked it.",
    "print_set.core.title": "Record of heat in the core",
    "print_set.core.head": "Charge __________   Wood ______________   Thickest piece ____________   Wood at the start _____ °F",
    "print_set.core.needed": "56 °C is 132.8 °F. A probe that may be {off} off must read {needed} or more, in every core, for {minutes} minutes without a break.",
    "print_set.core.probes": "Probe|Piece and place|How deep|How far from the end|Last check|It may be off",
    "print_set.core.log": "Hour|Air, dry / wet|Core 1|Core 2|Core 3|Coldest core|Hot since|Initials",
    "print_set.core.end": "Hot in every core from _______ to _______   Who ran it ___________   Who looked it over ___________",
    "print_set.core.entry": "If a probe must be set again in a hot kiln",
    "print_set.storage.title": "Storage card for dry lumber",
    "print_set.storage.says": "How many degrees warmer than outdoors the store must be, for wood to stay dry. Take the day’s mean outdoors, or its "
    "low at dawn with 90 %. Computed at {outdoor}; frosty air needs a few degrees less.",
    "print_set.storage.columns": "RH outdoors|to stay at 6 %|at 7 %|at 8 %",
    "print_set.storage.weekly": "Written down each week",
    "print_set.storage.log": "Date, hour|Outdoors|Store|RH in the store|Board on the scale|Initials",
}  # fmt: skip
