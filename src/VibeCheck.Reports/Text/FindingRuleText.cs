using VibeCheck.Core.Findings;
using VibeCheck.Reports.Formatting;

namespace VibeCheck.Reports.Text;

/// <summary>The table of findings as text.</summary>
public static class FindingRuleText
{
    /// <summary>What a kind of finding is called; the code itself where it has no name here.</summary>
    public static string Name(string code) =>
        code switch
        {
            "order-1-stands-out" => "order 1",
            "blade-pass-stands-out" => "blade pass",
            "looseness" => "half orders",
            "bearing-tone" => "a bearing tone",
            "steady-line" => "a steady line",
            "broadband" => "broadband vibration",
            "hard-knocks" => "knocks",
            "resonance-near-order" => "a resonance",
            "soft-imu-mount" => "a soft mount",
            "yaw-trim" => "the yaw trim",
            "centre-of-gravity" => "the centre of gravity",
            "carries-more" => "the load share",
            "hot-motor" => "the motor temperature",
            "hot-esc" => "the ESC temperature",
            "draws-more" => "the current",
            "at-full-command" => "full command",
            "speed-drops" => "drops of speed",
            "clipping" => "clipped peaks",
            "slow-logger" => "the slow log",
            "filtered-log" => "filters",
            "loose-telemetry" => "poor telemetry",
            "sagging-battery" => "the battery's voltage",
            _ => code,
        };

    /// <summary>A likely cause.</summary>
    public static string Of(LikelyCause cause) =>
        cause switch
        {
            LikelyCause.PropellerUnbalance => "unbalanced propeller",
            LikelyCause.PropellerDamage => "damaged propeller",
            LikelyCause.BladeTrack => "blades that do not track, or a loose blade",
            LikelyCause.PropellerDiffers => "propeller of another kind",
            LikelyCause.BentShaft => "bent shaft or bell out of true",
            LikelyCause.TiltedMount => "tilted mount or twisted arm",
            LikelyCause.PartUnderDisc => "part close under the propeller",
            LikelyCause.LooseArm => "loose arm or fold joint",
            LikelyCause.LooseMotor => "loose motor screws or hub",
            LikelyCause.WornBearing => "worn, dirty or tight bearing",
            LikelyCause.RubbingBell => "something rubs on the bell",
            LikelyCause.PayloadMachine => "gimbal, fan or pump of the payload",
            LikelyCause.RecorderElectronics => "electronics of the recorder",
            LikelyCause.Wind => "wind and rotor wash",
            LikelyCause.LoosePart => "loose cover, cable or antenna",
            LikelyCause.ImuMount => "the way the IMU is held",
            LikelyCause.SoftFrame => "frame soft, cracked or not clamped",
            LikelyCause.LooseBattery => "loose battery or landing gear",
            LikelyCause.CableInDisc => "cable in reach of a propeller",
            LikelyCause.LoadOffMiddle => "battery or payload off centre",
            LikelyCause.DamagedWinding => "winding damaged by heat or a screw",
            LikelyCause.PoorCooling => "poor cooling",
            LikelyCause.SolderJoint => "solder joint or plug",
            LikelyCause.EscSettings => "settings of the ESC",
            LikelyCause.WeakMagnets => "weak magnets",
            LikelyCause.TooHeavy => "aircraft too heavy for its motors",
            LikelyCause.TiredBattery => "aged, cold, small or empty battery",
            LikelyCause.LostStep => "ESC loses synchronisation with the motor",
            LikelyCause.RangeTooSmall => "range of the sensor too small",
            LikelyCause.RateTooLow => "logging rate too low",
            LikelyCause.LogBehindFilters => "log written after the controller's filters",
            LikelyCause.TelemetryLead => "telemetry lead or plug",
            LikelyCause.BusyLink => "telemetry link too busy",
            _ => throw new InvalidOperationException($"no words for {cause}"),
        };

    /// <summary>Likely causes of a finding, likeliest first; none for a finding of a comparison.</summary>
    internal static IReadOnlyList<string> CausesOf(string code) =>
        [.. (FindingRules.All.FirstOrDefault(r => r.Code == code)?.Causes ?? []).Select(Of)];

    /// <summary>A check, in short.</summary>
    public static string Of(CheapestCheck check) =>
        check switch
        {
            CheapestCheck.SwapPropellers => "swap propellers with calm motors; where it stays, run the motor without a propeller",
            CheapestCheck.LookAtBlades => "compare the blades' tips, look under the disc",
            CheapestCheck.FeelForPlay => "feel for play, check screws",
            CheapestCheck.TurnBell => "turn the bell by hand, then run without a propeller",
            CheapestCheck.SwitchOff => "log on the ground, switch off one thing after the other",
            CheapestCheck.PressAndShake => "press on the IMU, shake cables, covers and battery",
            CheapestCheck.TapFrame => "tap the frame, look for cracks and loose screws",
            CheapestCheck.MeasureTilt => "measure the tilt of all mounts",
            CheapestCheck.BalanceOnFingers => "balance the aircraft on two fingers",
            CheapestCheck.ComparePropellers => "compare propellers, then swap with a motor that carries its even share",
            CheapestCheck.NoLoadCurrent => "turn the bell by hand, compare no-load currents without propellers",
            CheapestCheck.LookAtEsc => "look at air flow, joints and settings",
            CheapestCheck.WeighAndCharge => "weigh the aircraft, charge and measure the battery",
            CheapestCheck.SwapEsc => "look at joints, compare settings, swap the ESC",
            CheapestCheck.MeasureBattery => "measure cell resistance, feel plugs, fly another battery",
            CheapestCheck.SetRecorder => "change the recorder's settings",
            CheapestCheck.LookAtLead => "look at lead, plug and joint",
            _ => throw new InvalidOperationException($"no words for {check}"),
        };

    /// <summary>The table of docs/methods/findings.md, in Markdown: one row per limit.</summary>
    public static string Table()
    {
        List<string> lines =
        [
            "| code | quantity | note | look | act | limits from | likely causes, in order | cheapest check | explains |",
            "|---|---|---|---|---|---|---|---|---|",
        ];
        foreach (FindingRule rule in FindingRules.All)
        {
            for (int i = 0; i < rule.Limits.Count; i++)
            {
                RuleLimit limit = rule.Limits[i];
                string[] cells =
                [
                    i == 0 ? $"`{rule.Code}`" : "",
                    limit.Quantity.Replace('-', ' ') + (limit.Unit.Length > 0 ? $", {limit.Unit}" : ""),
                    limit.IsGate ? "" : Cell(limit.Note),
                    limit.IsGate ? $"at least {Cell(limit.Look)}" : Cell(limit.Look),
                    limit.IsGate ? "" : Cell(limit.Act),
                    Source(limit.Source),
                    i == 0 ? string.Join("; ", rule.Causes.Select(Of)) : "",
                    i == 0 ? Of(rule.Check) : "",
                    i == 0 ? string.Join(", ", rule.Explains) : "",
                ];
                lines.Add($"| {string.Join(" | ", cells)} |");
            }
        }

        return string.Join('\n', lines) + "\n";
    }

    private static string Cell(double? value) => value is double number ? Format.Trimmed(number, 0, 4) : "";

    private static string Source(LimitSource source) =>
        source switch
        {
            LimitSource.CommonPractice => "common practice",
            LimitSource.MadeFlights => "simulated flights",
            LimitSource.ResonanceGain => "gain 1 / (1 - r²) of a lightly damped mode: fivefold",
            LimitSource.RotorTheory => "power grows with the cube of speed; size: common practice",
            _ => throw new InvalidOperationException($"no words for {source}"),
        };
}
