"""The component check before every start: the list that lesson 09 ticks and the page that hangs on the wall."""

SPANISH = {  # the page in Spanish, which is ours: no native speaker has read it
    "title": "Antes de cada arranque: pruebe cada parte",
    "entry": "Primero de todo, también con el horno frío",
    "inside": "Bloqueado y probado, uno de ustedes afuera",
    "outside": "Todos afuera y contados, puertas cerradas, bloqueos retirados",
    "inside_items": (
        "La puerta pequeña se abre desde adentro.",
        "El piso está libre, los deflectores están bajados, no hay nada en la plataforma de los ventiladores.",
        "Las aspas giran libres a mano, las bandas están tensas.",
        "El filtro del serpentín está limpio.",
        "Una taza de agua en la bandeja del serpentín sale en la cubeta.",
        "Los dos bulbos en una misma cubeta de agua no difieren más de 1 °F. Ponga después una mecha nueva y mojada en uno de ellos, y vea que su cable es el marcado como húmedo.",
        "La báscula muestra el peso de prueba.",
    ),
    "outside_items": (
        "Cada ventilador gira y sopla hacia el lado correcto: una cinta en cada uno lo muestra desde afuera.",
        "El soplador del serpentín gira.",
        "El compresor arranca cuando recibe la orden, después de su demora, y se para.",
        "Las resistencias se encienden por debajo del valor de ajuste del bulbo seco y se apagan al llegar a él.",
        "La ventila se abre cuando se baja el valor de ajuste, y se cierra de nuevo.",
        "Oprima el botón de prueba del límite alto, el último interruptor contra demasiado calor: debe dispararse, y solo se repone a mano. Si no tiene botón, lo prueba una persona con licencia.",
        "Primera línea del registro: bulbos, horómetro, cubeta vacía, su nombre.",
    ),
    "signed": "Fecha ______________   Carga ______________   Nombre ______________",
    "defer": "Lista nuestra, según la práctica común; ningún hablante nativo ha revisado este español. El procedimiento de su planta y los "
    "manuales de su máquina están por encima de ella. Lo que falla se queda apagado: refrigerante y cableado son para personas con licencia.",
}

TEXT = {
    "component_check.title": "Before every start: try each part",
    "component_check.file": "Before every start",
    "component_check.print": "Make the page",
    "component_check.print_tip": "Write the list as one page to print, with room for a date and a name",
    "component_check.about": "The list above as one page for the wall, with the way in on top and room for a date and a name.",
    "component_check.made": "The list, one page to print: {path}",
    "component_check.link": "Take it from here:",
    "component_check.entry": "First of all, also in a cold kiln",
    "component_check.inside": "When all is locked out and tried, and one of you is outside",
    "component_check.outside": "When everybody is out and counted, the doors are shut and the locks are off",
    "component_check.inside_items": (
        "The small door opens from inside.",
        "The floor is clear, baffles are down, nothing lies on the fan deck.",
        "Blades turn freely by hand, belts are tight.",
        "The coil’s filter is clean.",
        "A cup of water in the coil’s pan comes out at the bucket.",
        "Both bulbs in one pail of water agree within 1 °F. Then put a fresh wet wick on one of them, and see that its lead is the one marked wet.",
        "The scale shows its check weight.",
    ),
    "component_check.outside_items": (
        "Every fan turns, and blows the right way: a ribbon at each one shows it from outside.",
        "The coil’s blower runs.",
        "The compressor starts when it is called, after its delay, and it stops.",
        "The strips come on below the dry-bulb set point and go off at it.",
        "The vent opens when the set point is turned down, and shuts again.",
        "Press the test button of the high limit, the last switch against too much heat: it must trip, and a hand must reset it. If it has no button, a licensed person tries it.",
        "First line in the log: bulbs, hour meter, empty bucket, your name.",
    ),
    "component_check.signed": "Date ______________   Charge ______________   Name ______________",
    "component_check.defer": "Our list, by common practice. Your site’s procedure and the manuals of your machine stand above it. "
    "What fails stays off: refrigerant and wiring are for licensed people.",
}
