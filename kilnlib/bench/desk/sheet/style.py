"""How the sample sheet looks on the screen: sizes and colors of its parts."""

import html

from kilnlib.words import text

CSS = """<style>
.fc-sheet .fc-title {font-size: 16px; color: var(--jp-ui-font-color1, #1b1b1b); overflow-wrap: anywhere;}
.fc-sheet .fc-tools-row {align-items: center; flex-wrap: wrap;}
.fc-sheet .jupyter-button {width: auto; min-width: 0; padding: 0 9px; font-size: 14px;}
.fc-sheet .widget-toggle-buttons .widget-label {display: none;}
.fc-sheet .widget-toggle-buttons {margin-right: 24px;}
.fc-sheet .widget-toggle-button.mod-active {font-weight: 700;}
.fc-sheet .fc-said, .fc-sheet .fc-refusal {overflow-wrap: anywhere;}
.fc-sheet .fc-question, .fc-sheet .fc-row .fc-refusal {font-size: 13px; line-height: 1.25; margin: 0 0 3px;
  border-left: 4px solid #c2571a; padding-left: 6px; color: var(--jp-ui-font-color1, #1b1b1b);}
.fc-sheet .fc-row {flex-wrap: wrap; align-items: center;} .fc-sheet .fc-row .widget-text {margin: 1px 0;}
.fc-sheet .fc-row {flex-shrink: 0;} .fc-row-said, .fc-row-said > .widget-html-content {display: contents;}
.fc-row .fc-question, .fc-row .fc-refusal {flex: 0 0 100%; box-sizing: border-box; overflow-wrap: anywhere;}
.fc-row .fc-hint {flex: 0 0 100%; height: 33px; font-size: 13px; line-height: 1.25; overflow: hidden;
  color: var(--jp-ui-font-color1, #1b1b1b);}
.fc-sheet a {color: var(--jp-content-link-color, #0b5394); text-decoration: underline; margin-right: 10px;}
.fc-sheet input {font-size: 14px;}
.fc-sheet .fc-head {color: var(--jp-ui-font-color1, #1b1b1b); font-size: 13px; line-height: 1.2;}
.fc-sheet .fc-reading {font-size: 14px; color: var(--jp-ui-font-color1, #1b1b1b);}
.fc-sheet .fc-reading span {display: inline-block; font-variant-numeric: tabular-nums;}
.fc-weights {width: 296px; min-width: 296px; padding-right: 4px; overflow: hidden;}
.fc-weights .fc-grid {max-height: max(186px, 100vh - 392px); overflow-y: auto; overflow-x: hidden;
  scrollbar-gutter: stable;}
.fc-weights .widget-text {width: 172px;}
.fc-weights .widget-text .widget-label {width: 76px; min-width: 76px; font-size: 14px; overflow-wrap: anywhere;}
.fc-weights > .fc-row .widget-text, .fc-weights > .widget-vbox:not(.fc-grid) .fc-row .widget-text {width: 292px;}
.fc-weights .fc-reading {white-space: nowrap;} .fc-weights .fc-reading span {width: 42px; text-align: right;}
.fc-weights .fc-reading span + span {width: 58px;}
.fc-weights .fc-head span {display: inline-block; vertical-align: bottom; width: 50px; text-align: right;}
.fc-weights .fc-head span:first-child {width: 170px; text-align: right; padding-right: 4px;}
.fc-below {max-width: 940px;} .fc-sheet .fc-stage {padding-left: 4px;}
.fc-stage .fc-numbers {font-size: 13px; line-height: 1.25; width: 100%; margin: 0;}
.fc-stage .fc-numbers tbody {display: grid; grid-template-columns: repeat(2, 1fr); column-gap: 12px;}
.fc-stage .fc-numbers tr {display: grid; grid-template-columns: 134px 1fr; background: none !important;}
.fc-stage .fc-numbers td {text-align: left; padding: 1px 4px 1px 0;}
.fc-stage .fc-numbers td + td {white-space: normal;}
.fc-watch, .fc-below details {font-size: 14px; line-height: 1.25; color: var(--jp-ui-font-color1, #1b1b1b);}
.fc-watch {min-height: 56px; max-height: 144px; overflow-y: auto; margin-top: 2px;}
.fc-sheet :is(.fc-watch, .fc-below) ul {list-style: none; margin: 2px 0; padding: 0;}
.fc-sheet :is(.fc-watch, .fc-below) li {padding-left: 1.2em; text-indent: -1.2em;}
.fc-status .fc-said {font-size: 13px; line-height: 1.25;}
.fc-morning {width: 636px; min-width: 636px; padding-left: 4px; overflow: hidden;}
.fc-decided, .fc-ready, .fc-morning p {font-size: 14px; line-height: 1.25; color: var(--jp-ui-font-color1, #1b1b1b);}
.fc-morning p, .fc-morning ol, .fc-morning ul {margin: 0 0 3px;} .fc-morning ol, .fc-morning ul {padding-left: 1.4em;}
.fc-decided p.fc-action {font-size: 20px; font-weight: 700; border-left: 6px solid #5a5a5a; padding-left: 8px;}
.fc-decided li {font-size: 13px; line-height: 1.25;}
.fc-foretold {border-collapse: collapse; font-size: 13px; line-height: 1.2; margin: 2px 0;
  color: var(--jp-ui-font-color1, #1b1b1b);}
.fc-foretold :is(th, td) {padding: 0 12px 0 0; text-align: right; font-variant-numeric: tabular-nums;}
.fc-foretold :is(th, td):first-child {text-align: left; overflow-wrap: anywhere;}
.fc-foretold tr {background: none !important;} .fc-ready {font-weight: 600; margin-top: 4px;}
.fc-settings {flex-wrap: wrap; align-items: flex-start;} .fc-settings .fc-row {width: 306px; margin-right: 6px;}
.fc-settings .widget-text {width: 300px;}
.fc-settings .widget-text .widget-label {width: 118px; min-width: 118px; font-size: 14px;}
.fc-boards .fc-head span {display: inline-block; vertical-align: bottom; width: 84px; padding: 0 2px;}
.fc-boards > .widget-vbox .widget-text {width: 82px; flex: 0 0 82px; margin: 1px 3px;}
.fc-boards > .widget-vbox .widget-text:nth-child(1) {width: 108px; flex-basis: 108px;}
.fc-boards > .widget-vbox .widget-text:nth-child(2) {width: 234px; flex-basis: 234px;}
.fc-boards .fc-head span:nth-child(1) {width: 110px;} .fc-boards .fc-head span:nth-child(2) {width: 236px;}
.fc-boards .widget-dropdown {width: 300px;} .fc-boards .widget-dropdown .widget-label {font-size: 14px;}
.fc-shelf .widget-dropdown, .fc-shelf .widget-text {width: 520px;}
.fc-sheet .fc-upload {font-size: 0;}
.fc-sheet .fc-upload::after {content: "LABEL"; content: "LABEL" / ""; font-size: 14px;}
.fc-shelf .widget-label {width: 170px !important; min-width: 170px !important; font-size: 14px;}
</style>""".replace("LABEL", html.escape(text("sheet.upload")))  # else the browser adds how many files were chosen
