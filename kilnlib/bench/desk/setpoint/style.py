"""How the setpoint check looks on the screen: sizes and colors of its parts."""

CSS = """<style>
.fc-setpoint {color: var(--jp-ui-font-color1, #1b1b1b);}
.fc-setpoint .fc-ask-side {width: 314px; min-width: 314px; padding-right: 8px; overflow: hidden;}
.fc-setpoint :is(.fc-show-side, .fc-answer-side) {width: 618px; min-width: 618px; overflow: hidden;}
.fc-setpoint .widget-text, .fc-setpoint .widget-combobox {width: 304px; margin: 2px 0;}
.fc-setpoint .fc-down .widget-label {width: 118px; min-width: 118px; font-size: 14px;}
.fc-setpoint input {font-size: 14px;}
.fc-setpoint .jupyter-button {width: auto; min-width: 0; padding: 0 9px; font-size: 14px;}
.fc-setpoint .fc-tools-row {align-items: center; flex-wrap: wrap;}
.fc-setpoint .fc-tools-row .widget-toggle-buttons {margin: 0 8px 0 0;}
.fc-setpoint .widget-toggle-buttons .widget-label {display: none;}
.fc-setpoint .widget-toggle-button.mod-active {font-weight: 700;}
.fc-setpoint .fc-refusal {font-size: 13px; line-height: 1.25; margin: 0 0 3px; overflow-wrap: anywhere;}
.fc-setpoint .fc-said, .fc-setpoint .fc-sources {font-size: 13px; line-height: 1.3; overflow-wrap: anywhere;}
.fc-answer {font-size: 14px; line-height: 1.3; color: var(--jp-ui-font-color1, #1b1b1b);}
.fc-answer p {margin: 0 0 3px;} .fc-answer ol {margin: 2px 0 0; padding-left: 1.4em;}
.fc-answer li {font-size: 13px; line-height: 1.25; margin: 0 0 1px;}
.fc-asked {font-size: 14px; line-height: 1.3; color: var(--jp-ui-font-color1, #1b1b1b);}
.fc-verdict {font-size: 20px; font-weight: 700; border-left: 6px solid #5a5a5a; padding-left: 8px;}
.fc-verdict.fc-even {border-color: #2e6b1f;} .fc-verdict.fc-mild {border-color: #0b5394;}
.fc-verdict.fc-hard {border-color: #a3330b;}
.fc-setpoint .fc-numbers {font-size: 13px; line-height: 1.25; width: 100%; margin: 2px 0;}
.fc-setpoint .fc-numbers tbody {display: grid; grid-template-columns: 1.12fr 1fr; column-gap: 8px;}
.fc-setpoint .fc-numbers tr {display: grid; grid-template-columns: 148px 1fr; background: none !important;}
.fc-setpoint .fc-numbers tr:first-child td + td {font-size: 16px;}
.fc-setpoint .fc-numbers tr:last-child {grid-column: 1 / -1;}
.fc-setpoint .fc-numbers td {text-align: left; padding: 1px 6px 1px 0;}
.fc-setpoint .fc-numbers td + td {white-space: normal;}
.fc-sources {color: var(--jp-ui-font-color1, #1b1b1b);}
.fc-sources ul {margin: 2px 0; padding-left: 1.2em;}
.fc-setpoint a {color: var(--jp-content-link-color, #0b5394); text-decoration: underline;}
</style>"""
