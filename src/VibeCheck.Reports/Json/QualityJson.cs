using System.Text.Json;
using VibeCheck.Core.Tracks;
using VibeCheck.Reports.Text;

namespace VibeCheck.Reports.Json;

/// <summary>Faults of a log in JSON: code, where, when, what was done, the numbers, and a sentence.</summary>
internal static class QualityJson
{
    internal static void Write(Utf8JsonWriter json, IEnumerable<QualityIssue> issues) =>
        json.Array(
            "quality",
            issues,
            issue =>
                json.Object(() =>
                {
                    json.WriteString("code", issue.Cause.Code);
                    json.WriteString("track", issue.Track);
                    json.WriteString("channel", issue.Channel);
                    json.Number("from_s", issue.When?.FromS);
                    json.Number("to_s", issue.When?.ToS);
                    json.WriteString("effect", JsonNamingPolicy.KebabCaseLower.ConvertName(issue.Effect.ToString()));
                    json.Object("values", () => ReasonJson.Values(json, issue.Cause));
                    json.WriteString("text", ReasonText.Full(issue.Cause));
                })
        );
}
