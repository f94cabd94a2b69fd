"""What the setpoint check says."""

TEXT = {
    "setpoint.verdict.gentler": "gentler than the schedule",
    "setpoint.verdict.in step": "in step with the schedule",
    "setpoint.verdict.harder": "harder than the schedule",
    "setpoint.verdict.too hard": "too hard",
    "setpoint.verdict.outside the tables": "outside the tables",
    "setpoint.verdict.beyond this kiln": "beyond this kiln",
    "setpoint.verdict.equalizing": "right for equalizing",
    "setpoint.verdict.conditioning": "right for conditioning",
    "setpoint.verdict.loaded_air_dried": "right for the first hours of air-dried stock",
    "setpoint.off.gentler": "milder than wanted here",
    "setpoint.off.harder": "harder than wanted here",
    "setpoint.stage.loaded_green": "just loaded, green",
    "setpoint.stage.loaded_air_dried": "just loaded, air-dried",
    "setpoint.stage.drying": "drying",
    "setpoint.stage.equalizing": "equalizing",
    "setpoint.stage.conditioning": "conditioning",
    "setpoint.note.upland_oak": "The limit of {limit} a day is for slow-grown upland red oak, with growth rings less than 1/4 in "
    "(6 mm) apart. Fast-grown, bottomland or sour-smelling oak checks even by the book: start near {weak} a day in this "
    "thickness, and look at the faces every day.",
    "setpoint.note.index": "{note}.",
    "setpoint.verdict_if": "{verdict}, if the wet bulb is right",
    "setpoint.defer": "This compares and advises. Your sample boards, your site’s rules and your own eyes decide.",
    "setpoint.reason.step_early": "This setting belongs to step {number} of schedule {code} ({at_dry} over {at_wet}), which "
    "begins at {begins} %. You are {points} points early.",
    "setpoint.reason.step_late": "This setting still belongs to step {number} of schedule {code} ({at_dry} over {at_wet}), "
    "which ends at {ends} %. You are at {mc} %.",
    "setpoint.reason.step_late_now": "This setting still belongs to step {number} of schedule {code} ({at_dry} over {at_wet}), "
    "which ends at {ends} %. You are at {mc} %. Weights are no surer than a point: let the next weighing confirm it first.",
    "setpoint.reason.check_wick": "A depression of {depression} is what a dry or dirty wick shows too: then the air is far drier "
    "than it reads. Nothing below counts until it is read again. The line at 1.5 °F (0.8 °C) is our choice; while the kiln warms "
    "up or conditions, so little can be meant.",
    "setpoint.reason.costs_days": "Milder than the book costs days. Change only if you want them back.",
    "setpoint.reason.in_step": "The step of schedule {code} for this moisture content is {step_dry} with a depression of "
    "{step_depression}; you have {dry} with {depression}.",
    "setpoint.reason.in_step_cool": "The step of schedule {code} for this moisture content is {step_dry} with a depression of "
    "{step_depression}; you have {dry} with {depression}. So much cooler, a little more depression is no harsher (our choice).",
    "setpoint.reason.too_dry": "The air is drier than the step: a depression of {depression} where schedule {code} "
    "has {step_depression}. Its EMC is {emc} %. The schedule’s is {step_emc} %.",
    "setpoint.reason.too_moist": "The air is moister than the step: a depression of {depression} where schedule {code} "
    "has {step_depression}. Its EMC is {emc} %. The schedule’s is {step_emc} %.",
    "setpoint.reason.too_hot": "The dry bulb of {dry} is above the step’s {step_dry} ({code}).",
    "setpoint.reason.too_hot_wet": "The dry bulb of {dry} is above the step’s {step_dry} ({code}) while the wood is above "
    "30 %: hot wet wood is weak, and its core can collapse or honeycomb. Moist air does not make that good.",
    "setpoint.reason.too_cool": "The dry bulb of {dry} is below the step’s {step_dry} ({code}). Cooler wood dries slower.",
    "setpoint.reason.check_prone": "Being cooler than {step_dry} does not make this dry air mild: the faces of this wood "
    "check in dry air, however slow the drying.",
    "setpoint.reason.early": "At {mc} % the wood is above {critical}, where most checks are set up, even those that show "
    "later.",
    "setpoint.reason.as_dry_as_it_goes": "{code} asks for air here that does not exist. Read it as: as dry as the kiln will "
    "go.",
    "setpoint.reason.less_sure": "Our table is only fairly sure ({confidence}) of {code} for this wood.",
    "setpoint.reason.other_source": "Two sources differ: the index has {code}, the other {other}. This setting lies on the "
    "step of one of them or between the two.",
    "setpoint.reason.no_pace": "The drying engine cannot run {species} at {thickness}, so no pace is given.",
    "setpoint.reason.takes_up": "This air would take thin wood to {emc} %, above the {mc} % it holds: the wood takes up water "
    "again. Do that only to equalize or to relieve stress, at the end.",
    "setpoint.reason.stalled": "Drying all but stops here: the air leads to {emc} %, the wood is at {mc} %, and about "
    "{points} points a day come off. If a sample is slower than that, look at wick, bulbs and fans. "
    "That is a hot-kiln entry: your site’s procedure first.",
    "setpoint.reason.pace_range": "In this air the drying engine, a model fitted to red oak, expects {low} to {high} points a "
    "day. No schedule and no limit here says whether that is right for your wood.",
    "setpoint.reason.no_limit": "The drying engine, a model fitted to red oak, expects about {points} points a day ({low} to "
    "{high}), the schedule’s own step {step_points}. No daily limit is published here for this wood and thickness.",
    "setpoint.reason.limit_fades": "Wood below about 15 % seldom reaches its daily limit. The drying engine, a model fitted to red "
    "oak, expects about {points} points a day here.",
    "setpoint.reason.over_limit": "The drying engine, a model fitted to red oak, expects about {points} points a day ({low} to "
    "{high}), over the published limit of {limit}. The schedule’s own step comes out at {step_points}. Weigh daily.",
    "setpoint.reason.within_limit": "The drying engine, a model fitted to red oak, expects about {points} points a day ({low} "
    "to {high}); the published limit is {limit}. The schedule’s own step comes out at {step_points}.",
    "setpoint.reason.stain_gray": "{code} grays this wood inside while it is above about 40 %: its first steps are warm, and good where "
    "color does not matter. White wood is dried at 100 to 110 °F (38 to 43 °C) with a depression of about 10 °F (6 °C) from "
    "the first hour. What is gray stays gray, so take that way from the next charge on, or once the air here is that cool.",
    "setpoint.reason.stain_gray_wait": "This wood turns gray inside when it dries slowly while warm, above about 40 %. So no more "
    "heat until it is drier.",
    "setpoint.reason.stain_gray_thick": "This wood turns gray inside when it dries slowly while warm, above about 40 %. Keep it "
    "cool, and lose no time. The dry air that keeps thin boards white is not for this stock.",
    "setpoint.reason.white_on_purpose": "Below 110 °F (43 °C) with a depression of about 15 °F (8 °C) is how this wood is kept "
    "white above about 40 %. It is drier than the book; the pace, about {points} points a day, is inside the limit of {limit}.",
    "setpoint.reason.stain_blue": "This wood’s white sapwood takes blue stain while it is wet and between 50 and 110 °F "
    "(10 and 43 °C). Slow is not careful here: get its faces dry soon.",
    "setpoint.reason.stain_brown": "This pine browns under the face when wet boards wait or dry slowly in warm moist air. "
    "Saw, stack and start drying at once; in one trial nothing else prevented it.",
    "setpoint.reason.stain_brown_now": "This is warm moist air, the air that browns this pine under the face while it is wet. "
    "Saw, stack and start drying at once; in one trial nothing else prevented it.",
    "setpoint.reason.mold": "RH {rh} at {dry}: above about {mold_rh} and below {mold_dry} mold grows on wet faces. More air, "
    "drier air or warmer air stops it, as far as the wood allows.",
    "setpoint.reason.mold_fans": "RH {rh} at {dry}: above about {mold_rh} and below {mold_dry} mold can grow on wet faces. Move "
    "more air through the stack. Do not dry the air for it: the faces of this wood check first. To close gaps is a hot-kiln "
    "entry: your site’s procedure first.",
    "setpoint.reason.condensation": "A depression of {depression} is next to none: anything cooler than {dew} drips, wood "
    "included. If the kiln is not warming up or conditioning, check the wick and its water. That is a hot-kiln entry: your "
    "site’s procedure first.",
    "setpoint.reason.pitch": "Resin sets only with heat: 160 °F (71 °C) and better 180 °F (82 °C), for a day or longer, at "
    "the end. A kiln that stops lower cannot set all of it.",
    "setpoint.reason.kiln_top_dry_bulb": "Your kiln goes up to {limit}; this setting asks for {dry}.",
    "setpoint.reason.kiln_coil_wet_bulb": "Your kiln’s coil may run up to a wet bulb of {limit}; this setting has {wet}.",
    "setpoint.reason.kiln_driest_rh": "The driest air your kiln holds is {limit} RH; this setting asks for {rh}.",
    "setpoint.reason.step_out_of_reach": "Your kiln cannot hold this step of {step_dry} over {step_wet}. The usual way round: "
    "the same RH cooler, {dry} over {wet} (from memory). It costs days.",
    "setpoint.reason.wet_bulb_error": "A wet bulb off by {degree}, one way or the other, means RH from {low} to {high} %, EMC "
    "from {emc_low} to {emc_high} %, and a pace from {slow} to {fast} points a day.",
    "setpoint.reason.wet_bulb_error_air": "A wet bulb off by {degree}, one way or the other, means RH from {low} to {high} %, "
    "and EMC from {emc_low} to {emc_high} %.",
    "setpoint.reason.equalizing": "So near the target of {target} this is taken for equalizing. The air for it has an EMC of about "
    "{want} % ({low} to {high} %), and yours has {emc} %. It keeps the driest boards where they are while the wettest come down. "
    "If the charge is still drying, choose that above.",
    "setpoint.reason.conditioning": "So near the target of {target} this is taken for conditioning. The air for it has an EMC of about "
    "{want} %, {low} to {high} % with the drier first setting that some use; yours has {emc} %. It adds water to the faces on "
    "purpose, and that relieves stress. If the charge is still drying, choose that above.",
    "setpoint.reason.loaded_air_dried": "At {mc} % in mild air this is taken for air-dried stock, newly loaded. Its faces hold "
    "what the yard’s air left them, so the first air has an EMC about two points below that: about {want} % ({low} to {high} %), "
    "and yours has {emc} %. If the charge has been drying in this kiln, choose that above.",
    "setpoint.reason.conditioning_coil": "Your kiln’s coil may run up to a wet bulb of {limit}, and this air has {wet}. So stop the "
    "compressor, let the kiln cool for about an hour, and bring the moisture in with mist or steam from a system made for this kiln. "
    "Nobody is inside while it can start.",
    "setpoint.change.hold": "Change nothing: hold {dry} over {wet}, and weigh tomorrow.",
    "setpoint.change.hold_slow": "Change nothing: hold {dry} over {wet}. The setting is harder than the step, but your fastest board "
    "uses {share} of its daily limit. Make nothing harsher, weigh tomorrow, and look at the faces.",
    "setpoint.change.hold_close": "Change nothing: hold {dry} over {wet}. A step is due, but your fastest board already uses {share} of "
    "its daily limit. Wait until it slows.",
    "setpoint.change.raise_wet_bulb_over": "Raise the wet bulb to {wet} (a depression of {depression}); leave the dry bulb at {dry}. "
    "Whatever the schedule says, your fastest board uses {share} of its daily limit. Look at faces and ends for checks.",
    "setpoint.change.hold_check_wick": "Change nothing on the kiln. Wet the wick, read again once it has settled, and type it again. A "
    "wick inside the kiln means an entry: your site’s procedure first. An RH sensor: hold it against a wet bulb.",
    "setpoint.change.hold_white": "Harder than the book on purpose: the setting that keeps this wood white. Hold {dry} over {wet}, "
    "weigh every day, and look at faces and ends.",
    "setpoint.change.raise_wet_bulb_cool": "Raise the wet bulb to {wet} (a depression of {depression}: more than the step’s, as "
    "cooler air may have); leave the dry bulb at {dry} until the next weighing.",
    "setpoint.change.raise_wet_bulb": "Raise the wet bulb to {wet} (a depression of {depression}); leave the dry bulb at "
    "{dry} until the next weighing.",
    "setpoint.change.lower_wet_bulb": "Lower the wet bulb to {wet} (a depression of {depression}); leave the dry bulb at "
    "{dry} until the next weighing.",
    "setpoint.change.lower_wet_bulb_now": "Lower the wet bulb to {wet} now (a depression of {depression}); leave the dry bulb at "
    "{dry}. Dry faces hold blue stain off, and the pace is far below the limit.",
    "setpoint.change.lower_dry_bulb": "Lower the dry bulb to {dry}, with a depression of {depression}: wet bulb {wet}.",
    "setpoint.change.lower_dry_bulb_only": "Lower the dry bulb to {dry}; leave the wet bulb at {wet} (a depression of "
    "{depression}) until the next weighing.",
    "setpoint.change.raise_dry_bulb": "After the next weighing raise the dry bulb to {dry} and keep the depression: wet bulb "
    "{wet}.",
    "setpoint.change.lower_wet_bulb_toward": "Lower the wet bulb to {wet} (a depression of {depression}); leave the dry bulb "
    "at {dry} until the next weighing. It leads toward {there_dry} over {there_wet}: the step’s RH, cooler, as your kiln "
    "can hold it.",
    "setpoint.change.raise_dry_bulb_toward": "After the next weighing raise the dry bulb to {dry} and keep the depression: wet "
    "bulb {wet}. It leads toward {there_dry} over {there_wet}: the step’s RH, cooler, as your kiln can hold it.",
    "setpoint.change.hold_for_color": "Hold {dry} over {wet}: more heat would cost this wood its color while it is wet.",
    "setpoint.change.hold_at_kiln": "Hold {dry} over {wet}: that is what this kiln can do.",
    "setpoint.change.within_kiln": "Set {dry} over {wet}: the same RH within what this kiln can hold.",
    "setpoint.change.within_kiln_driest": "Set {dry} over {wet}: as dry as this kiln goes at that heat.",
    "setpoint.change.raise_dry_bulb_driest": "After the next weighing raise the dry bulb to {dry} and the wet bulb to {wet}: as dry as "
    "this kiln goes, hotter. Until then hold.",
    "setpoint.change.ask": "Ask your extension forester or the kiln’s maker for a schedule, start mild, and let sample boards "
    "decide.",
    "setpoint.change.ask_brown": "Ask your extension forester or the kiln’s maker for a schedule, start without delay, and let "
    "sample boards decide.",
    "setpoint.change.ask_first": "Only with fresh wood, sawn within the day: begin as the one published test did, {first_dry} over "
    "{first_wet}, with no more wood than this kiln can hold at it. No schedule is published for what follows: let sample boards "
    "decide, and ask your extension forester or the kiln’s maker.",
    "setpoint.change.hold_equalizing": "Hold {dry} over {wet}: equalizing air, EMC {emc}. Stop when the wettest sample board is down "
    "to {target}. Then condition.",
    "setpoint.change.hold_conditioning": "Hold {dry} over {wet}: conditioning air, EMC {emc}. Stop when the stress sections pass: cut "
    "them as your site does, and let them even out before you read them.",
    "setpoint.change.hold_loaded_air_dried": "Hold {dry} over {wet} for about twelve hours: a mild start for air-dried stock, EMC "
    "{emc}. Then choose “drying” here, and open the air in parts.",
    "setpoint.change.set_equalizing": "Set {dry} over {wet} to equalize for {target}: EMC {emc}. Hold it until the wettest sample "
    "board is down to {target}.",
    "setpoint.change.set_conditioning": "Set {dry} over {wet} to condition for {target}: EMC {emc}. Do so once the wettest sample "
    "board is down to the target, and stop when the stress sections pass.",
    "setpoint.change.set_loaded_air_dried": "Set {dry} over {wet} and hold it for about twelve hours: EMC {emc}, a mild start for "
    "air-dried stock. Its faces are moist from the yard, so you may set it at once.",
    "setpoint.change.raise_wet_bulb_steps": "Look at faces and ends for checks first. Then raise the wet bulb to {wet} and leave the "
    "dry bulb at {dry}. Do not go back to {there_wet} in one move: take a few degrees at a time over a day or two, because dry "
    "faces must not be wetted. With checks open, leave a day between two moves.",
    "setpoint.change.lower_dry_bulb_steps": "Lower the dry bulb to {dry} now, over {wet}. Look at faces and ends for checks. The way "
    "leads to {there_dry} over {there_wet}, but take it a few degrees at a time over a day or two: dry faces must not be wetted.",
    "setpoint.change.lower_dry_bulb_only_steps": "Lower the dry bulb to {dry} now, over {wet}. Look at faces and ends for checks. The "
    "way leads to {there_dry} over {there_wet}, but take it a few degrees at a time over a day or two: dry faces must not be "
    "wetted.",
    "setpoint.change.white_way": "Set {dry} over {wet}: the cool way that keeps this wood white. Leave it there until the wood is "
    "below about 40 %.",
    "setpoint.change.white_way_steps": "Look at faces and ends for checks first. Then set {dry} over {wet}. It leads to {there_dry} "
    "over {there_wet}, the cool way that keeps this wood white; take it a few degrees at a time over a day or two, because dry "
    "faces must not be wetted.",
    "setpoint.change.lower_wet_bulb_parts": "Lower the wet bulb to {wet} (a depression of {depression}); leave the dry bulb at {dry}. "
    "It leads to a wet bulb of {there_wet}, and so big an opening is taken in parts over two or three days: weigh and look at the "
    "faces before each part, above all with oak.",
    "setpoint.about.finish": "equalizing and conditioning",
    "setpoint.about.air_dried": "start of air-dried stock",
    "setpoint.about.air": "relative humidity and dew point",
    "setpoint.about.emc": "EMC",
    "setpoint.about.schedule": "schedule",
    "setpoint.about.limit": "daily limit",
    "setpoint.about.pace": "pace (drying engine)",
    "setpoint.about.mold": "mold",
    "setpoint.about.heat": "heat in wet wood",
    "setpoint.about.early": "when damage is set up",
    "setpoint.about.checks": "surface checks",
    "setpoint.about.bulb": "what a wet-bulb error does",
    "setpoint.about.pitch": "setting pitch",
    "setpoint.about.reach": "what a smaller kiln does instead",
    "setpoint.about.stain": "stain",
    "setpoint.about.softwood": "what is published of this softwood",
    "setpoint.reason.softwood_first_setting": "One published test is known here. Fresh 4/4 white pine went in at {first_dry} over {first_wet} "
    "less than a day after sawing and came out free of brown stain; {stained}. The settings after that first one are not "
    "known. You ask for {dry} over {wet}, which is {rh} RH. If your kiln cannot hold air that dry with a full load, load less: half, or a quarter.",
    "setpoint.reason.softwood_at_first": "This is the first setting of the one published test known here: fresh 4/4 white pine, {first_dry} "
    "over {first_wet}, in the kiln less than a day after sawing, came out free of brown stain. What followed after that setting is not "
    "known. Watch the wet bulb: if it climbs with a full load, load less: half, or a quarter.",
    "setpoint.reason.softwood_past_first": "The one published test of white pine known here tells its first setting only, {first_dry} over "
    "{first_wet} for fresh wood. From here on no setting is published that we know of: hold what the samples bear. Pine planes badly "
    "below {badly}: {aim}.",
    "setpoint.reason.softwood_stays_below": "Published for this wood is a ceiling, {limit}, and no full schedule ({note}). Your {dry} is "
    "within it. What the wet bulb was is not known here.",
    "setpoint.reason.softwood_above": "Published for this wood is a ceiling, {limit} ({note}). Your {dry} is above it.",
    "setpoint.reason.softwood_only_hot": "What is published of this pine and known here is {limit} ({note}). No setting for a cooler kiln "
    "was found, so go by your samples; its sapwood stains blue while it waits wet.",
    "setpoint.reason.softwood_unknown": "No setting is published for this softwood that we could read. Known: blue stain lives in wet "
    "sapwood between {from} and {to}, so dry the faces soon; pitch needs {pitch} at the end. Not known: its steps.",
}
