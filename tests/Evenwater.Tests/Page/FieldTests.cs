using Evenwater.Page;
using Evenwater.Page.Frame;
using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Components.Web;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging.Abstractions;

namespace Evenwater.Tests.Page;

public sealed class FieldTests
{
    /// <summary>A local date and time has no place for an offset (HTML, "Local Date and Time state"), and one of the hour that came twice is told apart by nothing else.</summary>
    [Theory]
    [InlineData(null, "datetime-local")]
    [InlineData("other", "datetime-local")]
    [InlineData("at", "text")]
    public async Task A_time_that_was_refused_can_be_written_with_its_offset(string? refused, string type)
    {
        await using var services = new ServiceCollection().BuildServiceProvider();
        await using var html = new HtmlRenderer(services, NullLoggerFactory.Instance);
        var visit = new PageVisit
        {
            Kept = new Dictionary<string, string> { ["at"] = "2026-10-25T02:30" }, Refused = refused is null ? [] : [new FieldRefusal(refused, "2026-10-25T02:30", "a time")],
        };
        var field = ParameterView.FromDictionary(new Dictionary<string, object?> { ["Visit"] = visit, ["Name"] = "at", ["Label"] = "When", ["Type"] = "datetime-local" });
        var drawn = await html.Dispatcher.InvokeAsync(async () => (await html.RenderComponentAsync<Field>(field)).ToHtmlString());
        Assert.Contains($"type=\"{type}\"", drawn, StringComparison.Ordinal);
        Assert.Contains("value=\"2026-10-25T02:30\"", drawn, StringComparison.Ordinal);
    }

    [Theory] // a fish is two characters (UTF-16); half of one is shown as a sign of nothing
    [InlineData(3, "ab…")]
    [InlineData(4, "ab\U0001F41F…")]
    [InlineData(6, "ab\U0001F41Fcd")]
    public void A_text_that_is_shortened_keeps_its_signs_whole(int most, string shown) => Assert.Equal(shown, Plain.Shortened("ab\U0001F41Fcd", most));
}
