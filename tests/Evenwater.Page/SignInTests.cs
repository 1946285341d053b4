using System.Security.Cryptography;
using System.Text;
using Evenwater.Page.Access;
using Evenwater.Tests.Page;
using Microsoft.Playwright;
using static Microsoft.Playwright.Assertions;

namespace Evenwater.PageTests;

/// <summary>Signing in and out with a browser, with and without script, and what is told when it does not go.</summary>
public sealed class SignInTests(Site site) : PageTest(site)
{
    private const string Password = "pail snail drip night";

    public static TheoryData<int, bool> WidthsAndScript => new() { { Narrow, true }, { Wide, true }, { Narrow, false } };

    [Theory]
    [MemberData(nameof(WidthsAndScript))]
    public async Task One_is_led_to_the_password_and_on_to_what_was_asked_for_and_out_again(int width, bool script)
    {
        await using var served = await ServedPage.StartAsync(new PageDoor { Port = 0, Password = Hash() }, new ClientPace(new UnhurriedTime()), MadeUp.Night(2) with { Name = "river" });
        var page = await Open(new Uri(served.Address, "/stations/river?still=1"), width, options => options.JavaScriptEnabled = script);
        await Expect(page).ToHaveTitleAsync("Sign in");
        await FitsAcross(page);
        if (script)
        {
            await Axe(page);
            await Shot(page, "sign-in");
        }

        await page.GetByLabel("Password").FillAsync("not the password");
        await page.GetByRole(AriaRole.Button, new() { Name = "Sign in" }).ClickAsync();
        await Expect(page.GetByRole(AriaRole.Alert)).ToHaveTextAsync("That is not the password. Nothing was done.");
        await Expect(page.GetByLabel("Password")).ToHaveValueAsync("");
        if (script)
        {
            await Axe(page);
            await Shot(page, "sign-in-wrong");
        }

        await page.GetByLabel("Password").FillAsync(Password);
        await page.Keyboard.PressAsync("Enter");
        await Expect(page).ToHaveURLAsync(new Uri(served.Address, "/stations/river?still=1").ToString());
        await page.GetByRole(AriaRole.Button, new() { Name = "Close the valve" }).First.ClickAsync();
        await Expect(page.Locator(".answer")).ToHaveTextAsync("Closed.");
        Assert.Equal(["river by page"], served.Closed);
        await page.GetByRole(AriaRole.Button, new() { Name = "Sign out" }).ClickAsync();
        await Expect(page).ToHaveTitleAsync("Sign in");
        await page.GotoAsync(new Uri(served.Address, "/stations/river").ToString());
        await Expect(page).ToHaveTitleAsync("Sign in");
    }

    private static PasswordHash Hash()
    {
        var salt = new byte[16];
        return new PasswordHash(1, salt, Rfc2898DeriveBytes.Pbkdf2(Encoding.UTF8.GetBytes(Password), salt, 1, HashAlgorithmName.SHA256, 32));
    }
}
