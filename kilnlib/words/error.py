"""Every message an operator may meet, as a sentence to act on, under the code of its error."""

SENTENCES = {
    "not_finite": "{what} must be an ordinary number. Type the value you read, such as {example}.",
    "range": "{what} {value} is outside {low} to {high}. Check the reading, and the unit it was read in.",
    "wet_above_dry": "Wet bulb {wet} is above dry bulb {dry}. Check the wick and the water, and swap the two readings if "
    "they were entered the wrong way round.",
    "wet_too_low": "Dry bulb {dry} with wet bulb {wet} cannot happen: even bone-dry air would hold the wet bulb at about "
    "{lowest}. Check both readings.",
    "boiling": "At an air pressure of {pressure}, water vapor at {value} would push harder than the air itself: water "
    "boils near {boils} at this altitude. Lower the temperature.",
    "humidity": "Relative humidity {value} is outside 0 % to 100 %. Type a percent, such as 65.",
    "emc_too_high": "Even saturated air at {temperature} only brings wood to {highest}. Ask for less than {value}.",
    "emc_negative": "EMC {value} is below zero. Type a percent, such as 8.",
    "empty": "Nothing was typed. Type a number, such as {example}.",
    "not_a_number": "“{text}” is not a number this box can read. Type something like {example}.",
    "decimal_comma": "“{text}” could be {a} or {b}. Write the decimal with a point: {a}.",
    "is_this_celsius": "{typed} is outside {low} to {high}. Is this Celsius? Then type {suggestion} "
    "(that is {converted}).",
    "is_this_fahrenheit": "{typed} is outside {low} to {high}. Is this Fahrenheit? Then type {suggestion} "
    "(that is {converted}).",
    "wrong_unit": "“{text}” carries the unit {unit}, which does not fit here. Use {expected}.",
    "unknown_table": "There is no table called {name}. The tables are: {names}.",
    "not_a_test": "{name} is no test: it mends something. Choose something to look at.",
    "no_such_name": "There is nothing called {name} here. Choose one of these: {names}.",
    "unknown_group": "There is no handbook group called {name}. The groups are: {names}.",
    "unknown_question": "There is no question called {name}. Check the name in kilnlib/questions.",
    "unknown_panel": "There is no panel called {name}. The panels are: {names}.",
    "kiln_file": "{path} could not be understood at the line “{line}”. {why} Until that line is put right, or the form "
    "is saved again, the example kiln at Tamarack Ford stands in for yours.",
    "kiln_unknown": "{path} holds a name this workbook does not know: {keys}. It is left alone and not used. The names "
    "it knows are: {known}.",
    "kiln_name": "Give the kiln a name of 1 to 60 letters, such as Tamarack Ford.",
    "kiln_coil": "The coil's wet-bulb limit {wet} is above the top dry bulb {dry}. A wet bulb is never above the dry "
    "bulb: check both numbers.",
    "whole_number": "{what} {value} is not a whole number. Count them, and type a number such as 3.",
    "cannot_open": "{path} could not be opened ({reason}). The example kiln at Tamarack Ford stands in for yours. Check "
    "the folder and its rights.",
    "cannot_save": "{path} could not be written ({reason}). Nothing was lost: the values are still on this screen. Check "
    "the folder and its rights.",
    "not_positive": "{what} {value} is not above zero. Type what you measured, such as {example}.",
    "one_of": "{what} “{text}” is not known here. Use {names}.",
    "ovendry_above_wet": "An oven-dry weight of {dry} is above the weight before the oven, {wet}. Swap them if they "
    "were entered the wrong way round, or weigh again.",
    "unknown_species": "“{text}” is not in the species table. The nearest names are: {names}. They are spelled alike, which "
    "says nothing about the wood: take one only if it is yours. Your trainer can add a species as a row of that table.",
    "no_signs": "Nothing in “{text}” is a sign this finder knows. Use other words, or tick what you see at the left.",
    "unknown_sign": "There is no sign called {name} in kilnlib/tables/defect_signs.csv. The signs are: {names}.",
    "no_properties": "The tables hold no weight or shrinkage for {species}. Your trainer can add a row to "
    "kilnlib/tables/species_properties.csv.",
    "no_samples": "There are no samples to take a mean of. Weigh at least one.",
    "no_rate": "No published daily limit is known here for {species}. Limits are known for: {names}.",
    "no_rate_thickness": "No daily limit is known here for {species} at {thickness}. The thicknesses are: {names}.",
    "meter_below_zero": "A reading of {reading} in wood at {wood} would come out below zero: too hot and too dry for "
    "this rule. Let the wood cool, or weigh a sample.",
    "paces_swapped": "The slow pace {slow} is above the fast pace {fast}. Swap them.",
    "days_left_none": "Nothing is left to dry: the wettest board is at {target} or below.",
    "days_left_pace": "Between {low} and {high}: the boards did {slow} to {fast} a day lately, and that is most of the "
    "difference. The rest is that the pace fades near the end.",
    "days_left_fade": "Between {low} and {high}: {low} if the pace holds, more if it fades below fiber saturation, as "
    "it does unless the kiln is made hotter and drier.",
    "stickers_too_close": "Stickers {width} wide cannot stand {spacing} apart, center to center: no air would pass. "
    "Check both numbers.",
    "stickers_listed": "There are {given} sticker thicknesses for {courses} courses. Give one for each course, from "
    "the bottom up, or one for all.",
    "plenum_too_tight": "A plenum {plenum} wide cannot feed sticker spaces that add up to {opening}: most courses would "
    "get no air. Check both, and the unit.",
    "no_way_for_air": "No air could pass: there is no stack, and every gap is shut. Add courses or open a gap.",
    "fans_too_weak": "These fans cannot push air through the bottom of the stack against the weight of the cool air beside it. "
    "Check the fans and the temperature drop.",
    "lane_height": "A lane {lane} high does not fit a stack {height} high. Check both heights.",
    "short_courses": "{short} short courses are more than the {courses} courses of the stack. Check both counts.",
    "short_length": "A course cannot lack {short} of a stack {length} long. Check both lengths.",
    "air_soaked": "This air flow cannot carry {water} of water a day away: the air would be soaked before it left the "
    "stack. Ask for less water or more air.",
    "no_courses": "There is no stack, so no course can dry. Add courses.",
    "trace_times": "The times of this record do not rise from one reading to the next. Check the clock of the recorder.",
    "trace_readings": "{name} has {readings} readings for {times} times. Each time needs one, if only an empty one.",
    "unknown_place": "No outdoor air is known here for {place} in {month}. Take the nearest of these places, and a month such "
    "as Apr: {names}.",
    "unknown_storage": "No rule is known here for lumber stored in “{name}”. The rules are for: {names}.",
    "section_swapped": "The section's oven-dry weight {dry} is not below its green weight {green}. Swap them if they "
    "were entered the wrong way round, or weigh again.",
    "section_too_wet": "A section of {green} green and {dry} oven-dry would hold {mc} of water: no wood does. Check both "
    "weights.",
    "missing_section": "Board {board} has no section, so its moisture content cannot be known. Add its green section "
    "weight; the oven-dry weight may follow.",
    "recut_no_section": "A recut needs the green weight of at least one new section.",
    "recut_no_weight": "The recut of board {board} on {when} needs the board's weight from right before the cut, at the "
    "same time.",
    "recut_heavier": "After the recut the board weighs {after}, not less than the {before} before it. Check both weights.",
    "board_no_name": "Give the board a name, such as 1 or A.",
    "board_twice": "There are two boards called {board}. Give each its own name.",
    "unknown_board": "There is no board called {board}. The boards are: {names}.",
    "note_empty": "This note has no words.",
    "date_twice": "There are two entries for {later}. Keep one, or write the hour of each.",
    "date_backward": "{later} comes after {earlier} in the list but is the earlier time. Check both dates.",
    "date_far": "{later} is more than a year after {earlier}. Check the year.",
    "bad_moment": "{text} cannot be a time of a weighing. Write a date such as 2026-03-17, with or without an hour.",
    "ask_sections": "Board {board}: one section says {low}, the other {high}. More than 10 points apart is a warning: "
    "check the weights, or cut a new section.",
    "ask_too_wet": "Board {board}: a section says {mc}, more than {species} can hold (about {limit}). Check its weights.",
    "ask_rising": "Board {board}, {when}: {now}, more than the {before} before. Right for a stopped kiln or for "
    "conditioning; if not, weigh again.",
    "ask_falling": "Board {board}, {when}: {now} means {points} in a day, more than any wood in our table may lose. "
    "Weigh again.",
    "ask_below_ovendry": "Board {board}, {when}: {now} is less than its calculated oven-dry weight {dry}. Weigh again; "
    "if it is right, the oven-dry weight is wrong: cut two new sections (a recut).",
    "sheet_not_opened": "{file} could not be opened. {reason}",
    "sheet_damaged": "It is damaged in a way that was not foreseen. Keep the file, and ask your trainer.",
    "ask_below_recut": "Board {board}, {when}: {now} is less than the oven-dry weight {dry} that its recut gives. Check this "
    "weight, the weight at the recut and the recut's sections.",
    "ask_recut_weight": "Board {board}, {when}: {now} at the recut is more than the {before} before. One of the two is wrong: "
    "check both.",
    "ask_above_highest": "Board {board}, {when}: {now} would mean {mc} of water, more than this wood can hold (about "
    "{limit}). Check this weight, the sections and the weight when they were cut.",
    "ask_twice": "Board {board}, {when}: {now}, but {before} within the same hours. Weigh again.",
    "ask_recut": "Board {board}, {when}: {now}, weighed twice, does not fit its calculated oven-dry weight {dry}. So that one "
    "is wrong: cut two new sections (a recut).",
    "nothing_chosen": "Nothing is chosen yet. Pick one of the answers, then press the button.",
    "list_empty": "One of the lists is still empty. Choose from each of them, then press the button.",
    "log_number": "A new log has a whole number from {low} to {high}. Type one, such as 101.",
    "game_number": "A charge has a whole number from {low} to {high}. Type one, such as 1.",
    "game_days": "Let 1 to {most} days pass at once.",
    "game_longest": "No charge here runs longer than {most} days. Switch the heat off and see how it came out.",
    "game_no_mist": "This kiln adds no water, and dry wood gives too little for conditioning. Choose a mist for the kiln in the plan of a "
    "charge, or switch the heat off.",
    "game_not_even": "The wettest board is still at {wettest} %. Equalize until it is at {target} % and the boards stand still, then "
    "condition: a core that goes on drying goes on shrinking, and the stress comes back.",
    "game_not_still": "The samples’ mean still lost {points} points in {days} days. Equalize until it loses no more than {still}, then "
    "condition: a core that goes on drying goes on shrinking, and the stress comes back.",
    "game_entry_first": "That look or mend is inside. Take the steps of the way in first.",
    "game_no_morning": "There is no earlier morning to go back to.",
    "game_not_begun": "The kiln has not run a day yet. Let it run first.",
    "pick_count": "Tick {wanted} boards. {count} are ticked now.",
    "nothing_written": "Nothing is written yet. A few words are enough.",
    "order_letters": "“{text}” does not name each letter once. Type {letters} in your order, each of them once.",
    "unknown_lesson": "There is no question file called {name}. The files are: {names}.",
    "question_file": "The question file {name} could not be read. {why}",
    "question_field": "Question {name}, field “{field}”: {why}",
    "expression_part": "“{expression}” may not hold “{part}”: only numbers, named numbers, arithmetic, comparisons and "
    "calls of the calculator.",
    "expression_name": "“{expression}” uses {name}, which is no number of this question. Check the spelling; the "
    "calculator has {names}.",
    "expression_failed": "“{expression}” cannot be worked out. {why}",
    "expression_value": "“{expression}” gives {value}, where one ordinary number is needed.",
    "not_a_date": "“{text}” is not a date this column can read. Write the year first, such as 2026-03-17, or 3/17/2026; "
    "an hour may follow: 2026-03-17 08:00.",
    "decimal_mixed": "“{text}” has a decimal point, but other numbers of this file have a decimal comma. Use one of them.",
    "sheet_row": "Row {row}, column {column}: {reason} Nothing was changed.",
    "sheet_empty": "The file holds no rows. A sample sheet starts with a row of headings: item, board, date, weight …",
    "sheet_not_text": "The file is not a table of plain text. Save it from the spreadsheet as CSV (comma separated values).",
    "sheet_too_big": "The file has {size} MB; a sample sheet stays below {limit} MB. Check that it is the right file.",
    "heading_missing": "This heading is missing. A sample sheet has the headings: {names}.",
    "heading_twice": "This heading stands there twice. Remove one of the two columns.",
    "unknown_item": "“{text}” is not a kind of row. The kinds are: {names}.",
    "item_twice": "The sheet already has a row for {item}. Keep one.",
    "recut_missing": "A recut section needs the row of its recut, with the same date ({when}).",
    "board_row_missing": "No row says that there is a board called {board}. Add one with board under item and {board} under board. "
    "The boards of this file are: {names}.",
    "board_not_named": "The board's name is missing. Write which board this row is about. The boards of this file are: {names}.",
    "sheet_too_many_rows": "The file has more than {limit} rows, more than any sample sheet. Check that it is the right file.",
    "sheet_too_many_boards": "The file has {count} boards, and a sample sheet holds at most {limit}. Check that it is the right file.",
    "sheet_cut_short": "The last line that this workbook writes is missing from the file, so rows may be missing at its end. Compare "
    "the last entries with your paper. Files from before this version have no such line; the next save writes it.",
    "sheet_not_file": "{path} is not a file that can be read: it is a folder or a device. Choose a CSV file.",
    "sheet_not_made": "The new sheet {path} could not be written ({reason}), so it does not exist. Check that the folder can be "
    "written to and has room, then try again. The sheet that was open is as it was.",
    "name_reserved": "Windows keeps the name {name} for itself, so a file of that name could be lost there. Choose another name, such "
    "as {name} charge.",
    "folder_busy": "{path} could not be written, because another program holds the folder locked. Nothing was lost: the values "
    "are still on this screen. Close the other program, then press Save.",
    "weight_too_big": "{what} {value} is outside what can be weighed here, which ends at {limit}. Check the reading, and the unit it "
    "was read in.",
    "weight_too_small": "{what} {value} is next to nothing. Check the reading, and the unit it was read in.",
    "ounces_over": "“{text}”: a pound has 16 ounces. Check the ounces; if they are right, write {pounds} lb {ounces} oz.",
    "no_unit": "The unit is missing. Write it in the column unit, behind the number or in the heading: {names}.",
    "two_units": "The number says {first}, the column unit says {second}. Keep the right one.",
    "ask_date": "Dates such as {text} were read with the month first: {read}. If that is wrong, write the year first.",
    "sheet_open_elsewhere": "This sheet is open in another window too. Enter weights in one of them only.",
    "sheet_changed": "{path} was changed in another window since this one read it. Your last entry is still on this screen "
    "but not in the file: save a copy under another name, or load the file again and enter it there.",
    "charge_name_used": "You have a sheet called “{name}” already. Choose another name.",
    "charge_no_file": "This sheet has no file yet, so there is nothing to move. It goes when you open another one.",
    "rescue_refused": "No rescue file could be written. {why} You are still on this sheet, and your entry is on the screen.",
    "cannot_move": "{path} could not be moved to {to} ({reason}). It is still where it was.",
    "sheet_gone": "{path} could not be opened ({reason}). Check the name and the folder.",
    "sheet_exists": "There already is a file {path}. Choose another name, or open that one.",
    "handbook_out": "{count} of {total} rows are further from the published value than allowed. See the rows marked OUT.",
    "series_empty": "The series of settings is empty. Give at least one step: dry bulb, wet bulb or EMC, and hours.",
    "series_too_long": "The series has {count} steps, and at most {limit} can be run at once. Join steps with the same "
    "settings, or run it in parts.",
    "series_too_many_hours": "The series lasts {hours} hours, and at most {limit} can be run at once. Check the length "
    "of its steps.",
    "step_unreadable": "Step {number} of the series: the {what} is not an ordinary number. Type it, or leave that step "
    "out.",
    "step_moisture": "Step {number} of the series must say how dry the air is, once: either a wet bulb or an EMC.",
    "step_no_length": "Step {number} of the series lasts {hours} hours. Give it a length above zero, or leave it out.",
    "step_boards": "The {what} of a step is given for another number of boards than the {count} that are run. Give one "
    "for all, or one for each.",
    "unknown_settings": "There are no settings called {name}. The sets of settings are: {names}.",
    "one_history": "A board goes on from the history of one board, and this history holds several. Dry the board alone "
    "first, or start from a moisture content.",
    "no_boards": "There is no board to dry. Give at least one.",
    "no_green_mc": "The tables hold no green moisture content of the {part} of {species}. Type the moisture content at "
    "the start.",
    "no_shrinkage": "The tables hold no shrinkage of {species}, so its drying stress cannot be known. Your trainer can add "
    "it in kilnlib/tables/species_properties.csv.",
    "one_stress_history": "The highest index is asked for one board at a time, and this history holds several. Work out "
    "each board by itself.",
    "stress_temperatures": "There are {count} temperatures for a history of {steps} steps and {hours} moments. Give one "
    "for all, one for each step, or one for each moment.",
    "degrade_unread": "“{text}” has no number of boards. Write each cause with its boards, such as: surface checks 12, warp 3.",
    "bulbs_first": "Type dry and wet bulb of the entering air first; this waits for them.",
    "bulbs_needed": "The leaving air or the bucket of this round hangs on these two bulbs. Empty those boxes first.",
    "no_sheet_yet": "You have no sample sheet yet. Start one with the sample sheet tool, then this takes its numbers.",
    "no_bulbs": "No bulb readings are written on this sheet yet. Enter dry and wet bulb, or give the settings as steps.",
    "no_pace_yet": "These weights do not yet tell how fast the boards dry. Weigh again when they have lost a few more "
    "points.",
    "not_a_date_here": "“{text}” is not a date this box can read. Type month and day, such as 3/17; an hour may follow: "
    "3/17 8:00.",
    "unfinished": "This was typed but is not in the sheet yet. Correct it, or type it again.",
    "date_first": "Waits for the date above.",
    "weights_wait": "Weights below wait for their date. Correct the date first, or empty their boxes.",
    "before_first": "Board {board} was weighed first on {first}, when its sections were cut. A weight from before that "
    "cannot count. Check the date.",
    "weight_needed": "The oven-dry weight of board {board} rests on this weight, so it cannot be left out. Type the right one.",
    "first_needed": "The oven-dry weight of this board rests on its first weight, so it cannot be left out. Type the right "
    "one.",
    "date_to_come": "{when} is still to come: this computer's clock says {now}. If that is today, check the date. If not, set "
    "the clock; what was typed waits here.",
    "clock_behind": "This computer's clock says {now}, but this sheet has come to {last} already, so the clock may be wrong. Set the "
    "clock; what was typed waits here. If the clock is right, correct the dates of the sheet.",
    "ask_future": "This sheet has entries up to {last}, and this computer's clock says {now}. Check those dates; if they are "
    "right, set the clock.",
    "section_no_green": "This section has an oven-dry weight but no green one. Type the green weight in front of it.",
    "recut_weigh_again": "Weigh board {board} again now that it is shorter, and type that weight in the last box.",
    "charge_name_taken": "There is a sheet called “{name}” already. To go on with it, choose it above and press Open. For a second "
    "one of that name press Start a sheet again.",
    "charge_no_name": "Give the new charge a name, such as Red oak 14.",
    "page_full": "One page holds {limit} boards and this sheet has {count}. Export the CSV instead, or split the charge.",
    "schedule_code": "“{text}” is not a code of a hardwood schedule. Write T and 1 to 14, a letter A to F and a number 1 to 8, "
    "such as T4-D2.",
    "schedule_shift": "{name} cannot be moved to {what} number {number}: those run from {low} to {high}.",
    "schedule_floor": "A wet-bulb floor of {floor} leaves no depression at a dry bulb of {dry}. Choose a lower floor.",
    "schedule_softwood": "There is no schedule here for {species}, a softwood: the tables cover hardwoods, and none is "
    "guessed. Ask your extension forester or the kiln’s maker for one, and weigh sample boards.",
    "schedule_none": "The index used here has no schedule for {species}. Ask your extension forester for one, start mild, "
    "and weigh sample boards.",
    "schedule_thickness": "“{text}” is not a thickness the index knows. Write it in quarters of an inch, such as 4/4, or "
    "squares as 3x3.",
    "schedule_no_thickness": "The index used here has no schedule for {species} at {thickness}. It has {names}.",
    "schedule_air_dry": "The handbook gives no kiln schedule for green {species} at {thickness}: air dry it to 20 % first "
    "(from memory).",
    "reach_yes": "This kiln can hold {dry} over {wet} with the coil running: its coil may run up to a wet bulb of {limit}.",
    "reach_coil": "A wet bulb of {wet} is above {limit}, the most this coil may run at. Compressor off (see its manual), fans on, "
    "let the kiln cool for about an hour, then add mist or steam up to an EMC of {emc}, and watch the clock. Use only a mist or "
    "steam system made for this kiln, with nobody inside while it is armed.",
    "reach_hot": "{dry} is above this kiln’s top dry bulb of {top}. At {top} a wet bulb of {there} gives the same EMC of "
    "{emc}, and it takes longer.",
    "reach_dry": "RH {rh} is below {driest}, the driest air this kiln can hold: even at {top} it stops at an EMC of {lowest}. "
    "Aim for a higher target.",
    "reach_dry_hotter": "RH {rh} is below {driest}, the driest air this kiln can hold. Go hotter: at {top} its driest air has "
    "an EMC of {lowest}.",
    "end_unknown": "A sample board has no moisture content yet. Weigh it before you decide.",
    "end_dry_on": "The driest board is at {driest}, above {start}: dry on with the schedule.",
    "end_equalize": "The driest board is at {driest}: equalize now at an EMC of {emc}, until the wettest, now {wettest}, is at "
    "{target}.",
    "end_even": "Every board lies between {driest} and {wettest}, none above the target of {target}: stop equalizing.",
    "end_too_dry": "Already well below {start}: {too_dry} of the boards, the driest at {driest}. Equalizing should have begun "
    "earlier. Begin now at an EMC of {emc}; dry boards come back slowly, if at all.",
    "end_never": "The driest board is still at {driest} when this drying ends, above {start}. Dry longer or in drier air, or start sooner.",
    "prongs_invalid": "This test does not count: the sections still hold uneven moisture. Even it out first, then read again.",
    "prongs_more": "{failed} of {cut} sections bend more than {limit}. Cut {wanted} more before you decide.",
    "prongs_pass": "{failed} of {cut} sections bend more than {limit}: the charge passes.",
    "prongs_longer": "{failed} of {cut} sections bend more than {limit}, up to {largest}: condition longer, then test again.",
    "prongs_reversed": "{outward} of {cut} sections bend outward, up to {largest}: conditioning went too far. Stop it now.",
    "prongs_mixed": "{inward} of {cut} sections bend inward and {outward} outward, up to {largest}: the boards differ, and no hour suits "
    "them all. Go on only while more bend inward than outward, and let nobody resaw boards like the ones that failed.",
    "no_target_yet": "No target is written down for this charge. Type it under Boards, and a ready-on date can be told.",
    "never_ready": "At this pace and in this air the wettest board does not come down to {target} within half a year.",
    "no_weights_yet": "No sample board of this charge has a moisture content yet. Enter its sections and a weight first.",
    "pace_thickness": "“{text}” is not a thickness the drying engine can run. Write it in quarters of an inch, such as 4/4.",
    "pace_square": "The drying engine runs boards, which dry through two faces. Squares dry through four: weigh samples.",
    "setpoint_size_here": "“{text}” is a thickness. Type it in the next box, and leave the species here, such as {example}.",
    "setpoint_two_readings": "“{text}” looks like two readings. Type the dry bulb in its box and the wet bulb in the next one.",
    "setpoint_rh_meant": "Dry bulb {dry} with wet bulb {wet} cannot happen: even bone-dry air would hold the wet bulb at about "
    "{lowest}. If you mean relative humidity, type {rh}.",
    "setpoint_celsius_too": "The dry bulb is in Celsius. Is {plain} Celsius too? Then type {celsius}. If it is relative humidity, type "
    "{rh}. If it is Fahrenheit: {wet} under {dry} cannot happen.",
    "setpoint_percent_meant": "Did you mean {rh}? A wet bulb of {wet} makes air of RH {dry_rh}, drier than the {driest} this kiln "
    "can hold. For relative humidity type {rh}. If it is the wet bulb, type {plain}.",
    "setpoint_percent_above": "Wet bulb {wet} is above dry bulb {dry}. If you mean relative humidity, type {rh}. If not, check the "
    "wick and the water.",
    "setpoint_celsius_meant": "{value} is cooler than kilns run. Is this Celsius? Then type {suggestion} (that is {converted}). If it is "
    "Fahrenheit, type {plain}.",
    "inside": "Something went wrong inside this panel. The picture still shows the last good result. Press Reset; if it "
    "happens again, tell your trainer what you had set.",
    "learner_name": "Type a name of 1 to 40 letters. Initials are enough, such as JT.",
    "record_not_saved": "{path} could not be written ({reason}). What is on this screen was not saved, and all that was "
    "saved before is still there. Make room on the disk or check the folder and its rights, then do it again.",
    "record_set_aside": "{path} was damaged and could not be read. It is kept beside the new one as {kept}, and a new "
    "record was begun. Your trainer may be able to bring back the old one from a backup.",
    "record_newer": "{path} was written by a newer version of this workbook, so this one leaves it alone and saves "
    "nothing. Start the newer version.",
    "record_copy": "The copy {path} could not be written ({reason}). The record itself is as it was. Choose another "
    "place and try again.",
    "record_there": "{path} holds a record already, and nothing was changed there. Choose a folder without one.",
    "record_itself": "{path} is the record itself. Choose another name for the copy.",
    "sign_later": "{day} has not come yet. Type the day on which you saw it done.",
    "sign_times": "“{text}” is no number of times. Type how often you saw it done, such as 1; a 0 takes the line back.",
    "sign_words": "Type where it was done and who saw it, each in 1 to {longest} letters.",
    "sign_nobody": "This learner is no longer in the record. Press “Read the record again” and choose another.",
    "learner_gone": "This name is no longer in the record. Choose another, or type it anew.",
    "no_folder": "Type the folder that shall get the record, such as {folder}.",
    "no_backup_yet": "There is no backup yet. Press “Back up” first.",
    "nobody_chosen": "Choose a learner first, under “Sign what you saw at the kiln”.",
    "no_line": "Choose a line first: what you saw done.",
    "learning_csv": "{file} was not taken in: row {row} has “{text}” under “{column}”, which this workbook never writes "
    "there. Ask for the file again, as the workbook wrote it.",
    "learning_csv_other": "{file} was not taken in: it is no CSV that this workbook wrote. Choose one that “Write a CSV” or "
    "“Hand to my trainer” has made.",
    "learning_csv_big": "This file is larger than {limit} MB, and no record is. Choose a CSV that this workbook wrote.",
    "pages_refused": "The pages cannot be written to {path}: {reason}. Move what stands there, or choose another folder.",
    "no_backup": "There is no backup in {path}. Type the folder in which a file stands whose name begins with “record”.",
    "nothing_there": "{path} is no file and no folder. Check how it is spelled.",
    "delete_name": "Nothing was deleted, because “{typed}” is not “{name}”. Type the name as it stands in the list.",
    "hand_in_nothing": "There is nothing to hand in yet. Answer a question first.",
    "hand_in_folder": "The folder {path}, which this server names for handing in, is not there. Tell your trainer. What you "
    "did is kept in your own record.",
    "record_other": "{path} is no record that can be read. Choose the file record.sqlite, or a backup of one. Nothing "
    "was changed.",
    "own_inches": "{box}: {typed} does not fit. Type inches, from {low} to {high}.",
    "own_count": "{box}: {typed} does not fit. Type a whole number from {low} to {high}.",
}

TEXT = {f"error.{code}": words for code, words in SENTENCES.items()}
