using System.Globalization;
using System.Text;
using System.Text.Json.Nodes;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Orders.Group;
using VibeCheck.Core.Quality;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Surveys;
using VibeCheck.Core.Tracks;
using VibeCheck.Reports.Json;

namespace VibeCheck.Reports.Tests.Json;

public sealed class ResultsTests
{
    private const string FlightFields = """
        schema tool_version
        input.imu.path input.imu.rows input.imu.rows_unusable input.imu.rate_hz input.imu.gaps[].from_s input.imu.gaps[].to_s
        input.imu.clipped_samples input.imu.columns[].header input.imu.columns[].channel input.imu.columns[].unit
        input.esc input.clock_offset_s
        hover.seconds_used hover.segments[].from_s hover.segments[].to_s
        levels[].channel levels[].unit levels[].rms levels[].ci95 levels[].band_hz
        motors[].id motors[].rpm_mean motors[].load_share
        motors[].orders[].order motors[].orders[].rms_mps2 motors[].orders[].ci95 motors[].orders[].per_axis motors[].orders[].separable
        motors[].motor_temp.rise_steady_c motors[].motor_temp.ci95 motors[].motor_temp.tau_s motors[].motor_temp.reached
        motors[].esc_temp.rise_steady_c motors[].esc_temp.ci95 motors[].esc_temp.tau_s motors[].esc_temp.reached
        yaw_trim.split yaw_trim.ci95 yaw_trim.from
        peaks[].channel peaks[].hz peaks[].amplitude peaks[].unit peaks[].assigned peaks[].kind peaks[].folded_from_hz
        findings[].code findings[].severity findings[].motor findings[].text findings[].evidence findings[].next_check
        warnings[].code warnings[].text
        """;

    private const string CompareFields = """
        schema verdict reasons
        calls.vibration.call calls.vibration.before calls.vibration.after calls.vibration.change calls.vibration.ci95
        calls.vibration.unit calls.vibration.why calls.vibration.from
        calls.all_vibration.call calls.all_vibration.before calls.all_vibration.after calls.all_vibration.change
        calls.all_vibration.ci95 calls.all_vibration.unit calls.all_vibration.why
        motors[].load_share.before motors[].load_share.after motors[].load_share.change motors[].load_share.ci95
        motors[].load_share.call motors[].load_share.why
        calls.motor_temperature.call calls.motor_temperature.before calls.motor_temperature.after calls.motor_temperature.change
        calls.motor_temperature.ci95 calls.motor_temperature.unit calls.motor_temperature.why
        calls.esc_temperature.call calls.esc_temperature.before calls.esc_temperature.after calls.esc_temperature.change
        calls.esc_temperature.ci95 calls.esc_temperature.unit calls.esc_temperature.why
        motors[].id motors[].tilt_before_deg motors[].tilt_after_deg motors[].rpm_before motors[].rpm_after
        motors[].orders[].order motors[].orders[].before_mps2 motors[].orders[].after_mps2 motors[].orders[].change_db
        motors[].orders[].ci95_db motors[].orders[].call
        motors[].motor_temp.call motors[].motor_temp.why motors[].esc_temp.call motors[].esc_temp.change
        levels[].channel levels[].before_rms levels[].after_rms levels[].change_db levels[].ci95_db levels[].call
        yaw_trim.split_before yaw_trim.split_after yaw_trim.predicted_before yaw_trim.predicted_after
        tilt_effect.slope_per_deg tilt_effect.ci95 tilt_effect.n tilt_effect.method tilt_effect.why
        conditions[].name conditions[].before conditions[].after conditions[].matched conditions[].why
        flights.before[].schema flights.after[].motors[].orders[].rms_mps2
        """;

    [Fact]
    public void A_flight_has_every_field_of_the_contract() =>
        Written.HasFields(Written.Json(s => FlightJson.Write(Examples.Before, s)), FlightFields);

    [Fact]
    public void A_comparison_has_every_field_of_the_contract_and_whole_flights_inside()
    {
        JsonObject json = Written.Json(s => ComparisonJson.Write(Examples.Improved, s));
        Written.HasFields(json, CompareFields);
        foreach (string side in new[] { "before", "after" })
        {
            foreach (JsonNode? flight in json["flights"]![side]!.AsArray())
            {
                Written.HasFields(flight!, FlightFields);
            }
        }
    }

    [Fact]
    public void Values_and_intervals_come_out_as_they_went_in()
    {
        JsonObject json = Written.Json(s => ComparisonJson.Write(Examples.Improved, s));
        Assert.Equal("vibecheck.compare/1", (string?)json["schema"]);
        Assert.Equal("improved", (string?)json["verdict"]);
        JsonNode vibration = json["calls"]!["vibration"]!;
        Assert.Equal(3.18, (double)vibration["before"]!);
        Assert.Equal(-5.9, (double)vibration["change"]!);
        Assert.Equal([-5.9 - 0.9, -5.9 + 0.9], vibration["ci95"]!.AsArray().Select(n => (double)n!));
        Assert.Equal(Math.Sqrt(0.42 * 0.42 + 0.10 * 0.10), (double)json["motors"]![0]!["tilt_before_deg"]!);
        JsonNode flight = json["flights"]!["before"]![0]!;
        Assert.Equal(0.6 * 1.42, (double)flight["motors"]![0]!["orders"]![0]!["per_axis"]!["x"]!);
        Assert.Equal("rpm", (string?)flight["yaw_trim"]!["from"]);
        Assert.Equal("act", (string?)flight["findings"]![0]!["severity"]);
        Assert.Equal(612, (double)flight["peaks"]![2]!["folded_from_hz"]!);
    }

    [Fact]
    public void Unknown_values_are_null_with_a_reason_beside_them()
    {
        JsonObject[] all =
        [
            Written.Json(s => ComparisonJson.Write(Examples.Improved, s)),
            Written.Json(s => ComparisonJson.Write(Examples.NoSurvey, s)),
            Written.Json(s => ComparisonJson.Write(Examples.NotComparable, s)),
            Written.Json(s => FlightJson.Write(Examples.Wide, s)),
            Written.Json(s => FlightJson.Write(Examples.NoHover, s)),
        ];
        Assert.Empty(all.SelectMany(UnexplainedNulls.In));
        int unknown = all.Sum(UnexplainedNulls.Explained);
        Assert.True(unknown > 100, $"the examples hold only {unknown} unknowns");
    }

    [Theory]
    [InlineData("""{ "a": null }""", "$.a")]
    [InlineData("""{ "a": null, "why": null }""", "$.a")]
    [InlineData("""{ "list": [{ "a": null, "b": null, "why": "b: it was not read" }] }""", "$.list[0].a")]
    public void A_null_without_a_reason_of_its_own_is_detected(string json, string path) =>
        Assert.Equal([path], UnexplainedNulls.In(JsonNode.Parse(json)));

    [Fact]
    public void A_fault_of_a_log_says_why_it_has_no_time_and_no_channel()
    {
        FlightAnalysis flight = Examples.Before with
        {
            Quality =
            [
                new()
                {
                    Cause = new AmbientContradictsStart(21, 17),
                    Track = "ambient",
                    Effect = QualityEffect.Widened,
                    Affects = Answers.Temperatures,
                },
            ],
        };
        JsonNode fault = Written.Json(s => FlightJson.Write(flight, s))["quality"]![0]!;
        Assert.Equal(
            "channel: it concerns the whole track; from_s: it concerns the whole flight; to_s: it concerns the whole flight",
            (string?)fault["why"]
        );
    }

    [Fact]
    public void A_plan_says_why_nothing_is_known_after_the_shims_and_why_no_group_runs_cooler()
    {
        Survey none = Examples.Survey with { AsFound = [] };
        JsonObject yaw = Written.Json(s => ShimJson.Write(ShimPlan.Of(Examples.Hexa, none), [], s))["yaw"]!.AsObject();
        Assert.Null(yaw["moment_after_nm"]);
        Assert.Empty(UnexplainedNulls.In(yaw));
        Assert.Contains("moment_after_nm: the tilt of M1 across its arm is not known", (string?)yaw["why"], StringComparison.Ordinal);
        Assert.Contains("cooler_group: the split is not known", (string?)yaw["why"], StringComparison.Ordinal);
    }

    [Fact]
    public void A_finding_says_why_each_of_its_nulls_is_null()
    {
        JsonNode? ofFlight = Written.Json(s => FlightJson.Write(Examples.Before, s))["findings"]![0];
        Assert.Null(ofFlight!["from_s"]);
        Assert.Null(ofFlight["root"]);
        Assert.Contains("root: it follows from no other finding", (string?)ofFlight["why"], StringComparison.Ordinal);
        Assert.Contains("from_s: it was there from the start of the hover", (string?)ofFlight["why"], StringComparison.Ordinal);
    }

    [Fact]
    public void Motors_that_cannot_be_separated_share_a_sum_and_have_no_level_of_their_own()
    {
        JsonNode order = Written.Json(s => FlightJson.Write(Examples.Wide, s))["motors"]![1]!["orders"]![0]!;
        Assert.Null(order["rms_mps2"]);
        Assert.False((bool)order["separable"]!);
        Assert.Equal(["M2", "M4"], order["group"]!.AsArray().Select(n => (string)n!));
        Assert.Equal(0.92, (double)order["group_rms_mps2"]!);
    }

    [Fact]
    public void Rotors_measured_together_are_under_group_and_an_order_above_the_log_is_null_with_its_reason()
    {
        FlightAnalysis flight = Examples.Before with
        {
            Group = new()
            {
                Rpm = Estimate.Around(3400, 30),
                TotalMps2 = Estimate.Around(2.4, 0.1),
                Orders = [new(1, Estimate.Around(2, 0.1)), new(6, Estimate.Unknown(new OrderAboveLog(340, 225)))],
            },
        };
        JsonNode group = Written.Json(s => FlightJson.Write(flight, s))["group"]!;
        Assert.Equal(3400, (double)group["rpm"]!);
        Assert.Equal([2.3, 2.5], group["ci95"]!.AsArray().Select(n => (double)n!));
        Assert.Equal(2, (double)group["orders"]![0]!["rms_mps2"]!);
        Assert.Null(group["orders"]![1]!["rms_mps2"]);
        Assert.Equal("order-above-log", (string?)group["orders"]![1]!["reason"]!["code"]);
        Assert.Equal("It lies at about 340 Hz; the log shows rotors only up to 225 Hz.", (string?)group["orders"]![1]!["why"]);
        Assert.Null(Written.Json(s => FlightJson.Write(Examples.Before, s))["group"]);
    }

    [Fact]
    public void A_number_that_is_not_finite_is_a_bug_and_is_not_hidden()
    {
        FlightAnalysis infinite = Examples.Before with { Peaks = [Examples.Before.Peaks[0] with { Hz = double.PositiveInfinity }] };
        FlightAnalysis not = Examples.Before with { AmbientC = double.NaN };
        Assert.Throws<InvalidOperationException>(() => Written.Json(s => FlightJson.Write(infinite, s)));
        Assert.Throws<InvalidOperationException>(() => Written.Json(s => FlightJson.Write(not, s)));
    }

    [Fact]
    public void A_decimal_comma_culture_changes_nothing()
    {
        string Text()
        {
            using var stream = new MemoryStream();
            ComparisonJson.Write(Examples.Improved, stream);
            return Encoding.UTF8.GetString(stream.ToArray());
        }

        string plain = Text();
        CultureInfo was = CultureInfo.CurrentCulture;
        try
        {
            CultureInfo.CurrentCulture = CultureInfo.GetCultureInfo("de-DE");
            Assert.Equal(plain, Text());
        }
        finally
        {
            CultureInfo.CurrentCulture = was;
        }
    }
}
